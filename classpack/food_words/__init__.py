"""What words of food mean: the one vocabulary of the program, in English and German.

In goes a text as somebody wrote it; out come the foods it names, with the allergen ids (of :mod:`classpack.model.allergens`)
that each holds or may hold. Needs, cautions, labels, larder rows, bookings and suggestions all ask here, and nowhere else.
"""

from classpack.food_words.reader import NamedFood, Reading, read_foods, read_name, words_known
from classpack.food_words.table import FoodWord, food_words

__all__ = [
    "FoodWord",
    "NamedFood",
    "Reading",
    "food_words",
    "read_foods",
    "read_name",
    "words_known",
]
