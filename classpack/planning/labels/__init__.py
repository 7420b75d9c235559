"""What a food is called and made of, as the law of its region writes it.

In: a composition in grams, the region, the language.
Out: the list of ingredients, the allergens, an estimate of nutrition per 100 g and per piece.
"""

__all__ = ["contains", "ingredient_list", "named_allergens", "nutrition"]
