"""Everything read from files and checked: what a class is planned from."""

from __future__ import annotations

from dataclasses import dataclass, field

from classpack.errors import Spot
from classpack.model.class_day import ClassDay
from classpack.model.diets import Diet
from classpack.model.kitchen import Kitchen
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson
from classpack.model.risk import RiskAnswer
from classpack.model.safety import Catalogue


@dataclass(frozen=True, slots=True)
class Sources:
    """The files of a class day. ``risks`` are the scale of the tutor's risk assessment and their answers; ``logo`` is the path of a
    picture, handed on to the printing (empty: none); ``own_words`` are lines of the tutor's own templates."""

    lesson: Lesson
    day: ClassDay = field(repr=False)
    kitchen: Kitchen
    larder: Larder
    catalogue: Catalogue
    risks: tuple[int, dict[str, RiskAnswer]] = (3, {})
    logo: str = ""
    diets: tuple[Diet, ...] = ()
    language: Language = ENGLISH
    own_words: tuple[tuple[str, Spot], ...] = ()
