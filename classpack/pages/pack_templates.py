"""The templates as a pack uses them: the number filters, and those that know the class's money."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from classpack.model.class_day import ClassDay
from classpack.model.kitchen import Kitchen
from classpack.model.language import ENGLISH, Language
from classpack.model.money import coin_places
from classpack.pages.filters import Format, format_of, grams, in_region, money
from classpack.pages.sign_drawing import sign_drawing
from classpack.pages.templates import Templates
from classpack.pages.words import PhraseError, read_words
from classpack.quantities import rounded_to

SIGNS = {"GBP": "£", "EUR": "€", "USD": "$", "AUD": "$", "NZD": "$", "CAD": "$", "INR": "₹"}
"""Signs in common use; another currency is printed by its three letters (ISO 4217)."""


def pack_templates(
    folder: Path, day: ClassDay, kitchen: Kitchen, said: Language = ENGLISH
) -> Templates:
    """The templates of ``folder`` for one class. ``said`` knows what allergens are called in its language."""
    language, currency = day.language, day.currency
    form = in_region(
        format_of(read_words(folder, language)), day.place, kitchen, english=language == "en"
    )
    return Templates(
        folder,
        language,
        {
            "coins": _coins(form, currency),
            "about_grams": _about_grams(form),
            "sign_drawing": sign_drawing,
            "allergen": _allergen(said),
            "need": said.need,
            "aisle": said.aisle,
        },
        form,
    )


def _coins(form: Format, currency: str) -> Callable[[int | Fraction], str]:
    sign = SIGNS.get(currency, f"{currency} ")
    places = coin_places(currency)

    def coins(value: int | Fraction) -> str:
        return money(Fraction(value) / 10**places, form, sign, places)

    return coins


def _about_grams(form: Format) -> Callable[[Fraction], str]:
    def about_grams(value: Fraction) -> str:
        return grams(rounded_to(value, Fraction(10 if value >= 100 else 5)), form)

    return about_grams


def _allergen(said: Language) -> Callable[[str], str]:
    def allergen(name: str) -> str:
        try:
            return said.allergen(name)
        except KeyError:
            raise PhraseError(
                f"'{name}' has no name in '{said.code}'",
                f"add it to words/{said.code}/planning/allergens.yaml",
            ) from None

    return allergen
