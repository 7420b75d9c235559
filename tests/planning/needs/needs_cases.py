"""Small lessons and classes for the tests of people's needs: name only what a test is about."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from fractions import Fraction as F

from classpack.errors import LessonError, Spot
from classpack.model.class_day import ClassDay, Decision, Making, MustNotHave, Person, Station
from classpack.model.formula import Formula, FormulaLine, Preferment
from classpack.model.gluten_room import ROOM_QUESTIONS, GlutenRoom, RoomAnswer
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Bake, BaseDough, Lesson, Swap, Use, Variation, Vessel
from classpack.model.method import Placeholder, Step
from classpack.planning.needs.resolving import resolve
from classpack.quantities import Amount, OvenHeat

FILE = "day.yaml"
ANSWERED = GlutenRoom(
    tuple(
        RoomAnswer(one, "no" if one == "bread tested" else "yes", "Ines Marlow", datetime.date(2027, 3, 12))
        for one in ROOM_QUESTIONS
    ),
    spot=Spot(FILE, 40),
)  # fmt: skip
"""A room for which every question is answered; the bread was not tested."""


def ingredient(
    name: str,
    holds: str = "",
    kind: str = "other",
    tags: str = "",
    aisle: str = "shop",
    **more: object,
) -> Ingredient:
    """One ingredient; ``holds`` are allergen ids parted by spaces, the empty text is a stated 'none'."""
    return Ingredient(
        name,
        kind,
        aisle,
        frozenset(holds.split()),
        tags=frozenset(tags.split()),
        **more,  # type: ignore[arg-type]
    )


LARDER_ROWS = (
    ingredient("strong white flour", "gluten:wheat", "flour"),
    ingredient("rye flour", "gluten:rye", "flour"),
    ingredient("spelt flour", "gluten:wheat", "flour"),
    ingredient("rice flour", "", "flour"),
    ingredient("soya flour", "soya", "flour"),
    ingredient("water", "", "water"),
    ingredient("salt", "", "salt"),
    ingredient("instant yeast", "", "yeast"),
    ingredient("olive oil", "", "fat"),
    ingredient("sunflower oil", "", "fat"),
    ingredient("sesame oil", "sesame", "fat"),
    ingredient("butter", "milk", "fat", "animal"),
    ingredient("margarine", "milk", "fat", "animal", check_pack="soya", may_list=frozenset({"soya"})),
    ingredient("baking block", "", "fat", check_pack="milk, soya", may_list=frozenset({"milk", "soya"})),
    ingredient("lard", "", "fat", "animal meat pork"),
    ingredient("milk", "milk", "milk", "animal"),
    ingredient("goat's milk", "milk", "milk", "animal"),
    ingredient("almond drink", "nuts:almond", "milk"),
    ingredient("oat drink", "gluten:oats", "milk"),
    ingredient("soya drink", "soya", "milk"),
    ingredient("rice drink", "", "milk"),
    ingredient("egg", "eggs", "egg", "animal"),
    ingredient("sesame seeds", "sesame"),
    ingredient("poppy seeds", ""),
    ingredient("sunflower seeds", "", check_pack="cross-contact with sesame", may_list=frozenset({"sesame"})),
    ingredient("walnuts", "nuts:walnut"),
    ingredient("pine nuts", "nuts:pine"),
    ingredient("coconut", "coconut"),
    ingredient("barley malt syrup", "gluten:barley", "sugar"),
    ingredient("celery salt", "celery"),
    ingredient("dried apricots", "sulphites"),
    ingredient("honey", "", "sugar", "animal"),
    ingredient("golden syrup", "", "sugar"),
    ingredient("rum", "", tags="alcohol"),
    ingredient("apple juice", ""),
    ingredient("blue cheese", "milk", tags="animal", storage="chilled"),
    ingredient("mozzarella", "milk", tags="animal", storage="chilled"),
    ingredient("tomatoes", ""),
    ingredient("sesame crackers", ""),  # a careless entry: its name says more than its allergens
    ingredient("lupin flour", "lupin", "flour"),
)  # fmt: skip
LARDER = Larder(LARDER_ROWS)


def swap(
    out: str, into: str = "", ratio: F | int = 1, method: str = "", only_in: Sequence[str] = ()
) -> Swap:
    """A swap; without ``into`` the ingredient is left out."""
    return Swap(out, into, F(ratio), method, tuple(only_in), Spot("lesson.yaml", 90))


def use(name: str, per: str = "piece", purpose: str = "topping") -> Use:
    """Ten grams of something."""
    return Use(name, Amount(F(10), "g"), per, purpose)


def step(stage: str, *words: str) -> Step:
    """A step; ``{name}`` among the words is a placeholder."""
    text = tuple(Placeholder(w[1:-1]) if w.startswith("{") else w for w in words)
    return Step(stage, text, spot=Spot("lesson.yaml", 50))


def bread(
    name: str,
    uses: Iterable[Use | str] = (),
    swaps: Sequence[Swap] = (),
    method: Sequence[Step] | None = None,
    stressed: Sequence[str] = (),
) -> Variation:
    """One bread. Its toppings go on before the bake unless ``method`` says otherwise."""
    used = tuple(use(one) if isinstance(one, str) else one for one in uses)
    if method is None:
        method = (
            step("top", "Put on ", *(f"{{{u.ingredient}}}" for u in used), "."),
            step("bake", "Bake."),
        )
    heat = OvenHeat(F(230))
    return Variation(
        name, name, name + "s", F(100), 4, Vessel("free"), 4, used, tuple(method),
        Bake(F(20), heat, (F(210), F(240)), F(12), 4), 4, swaps=tuple(swaps), stressed=tuple(stressed),
        spot=Spot("lesson.yaml", 30),
    )  # fmt: skip


def lesson(
    *breads: Variation,
    dough: str = "strong white flour, water, salt, instant yeast",
    swaps: Sequence[Swap] = (),
    uses: Sequence[Use] = (),
    preferments: Sequence[Preferment] = (),
) -> Lesson:
    """A lesson; ``dough`` names the formula's ingredients."""
    names = [name.strip() for name in dough.split(",")]
    lines = tuple(FormulaLine(name, F(100 if n == 0 else 5)) for n, name in enumerate(names))
    base = BaseDough(
        "dough", Formula("dough", lines, tuple(preferments)), (step("mix", "Mix."),), F(25), F(2), uses=tuple(uses)
    )  # fmt: skip
    return Lesson("a lesson", "lesson.yaml", base, breads or (bread("roll"),), swaps=tuple(swaps))


def person(
    makes: str | Sequence[str] = "roll",
    needs: str | Sequence[str] | None = "none",
    station: str = "A",
    number: int = 1,
    decision: Decision | None = None,
    severity: str = "",
    note: str = "",
    name: str = "",
) -> Person:
    """Seat ``station`` + ``number``, on line 10 + number of the class file. ``needs`` None: nobody asked."""
    spot = Spot(FILE, 10 + number)
    listed = (
        [] if needs in (None, "none") else [needs] if isinstance(needs, str) else list(needs or ())
    )
    makes = [makes] if isinstance(makes, str) else makes
    return Person(
        name or f"Person {station}{number}",
        station,
        f"{station}{number}",
        tuple(Making(one, 4) for one in makes),
        tuple(MustNotHave(one, severity, note, spot) for one in listed),
        needs is not None,
        decision,
        spot=spot,
    )


def day(*people: Person, **more: object) -> ClassDay:
    """A class of these people, on 13 March 2027."""
    stations = dict.fromkeys(one.station for one in people)
    return ClassDay(
        "a class", FILE, datetime.date(2027, 3, 13), 600, 900, people,
        tuple(Station(name) for name in stations), spot=Spot(FILE, 1), **more,  # type: ignore[arg-type]
    )  # fmt: skip


def decide(what: str, makes: str = "") -> Decision:
    """A decision with a reason."""
    makings = (Making(makes, 4),) if makes else ()
    return Decision(what, "talked about it on the phone", makings, Spot(FILE, 99))


def said(where: Lesson, when: ClassDay, larder: Larder = LARDER, **more: object) -> list[str]:
    """Every message of a class that cannot be resolved."""
    try:
        resolve(where, when, larder, **more)  # type: ignore[arg-type]
    except LessonError as error:
        return [str(problem) for problem in error.problems]
    raise AssertionError("everything was resolved")
