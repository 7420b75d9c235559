"""The lesson file: a base dough and its variations, or every problem in it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import partial

from classpack.errors import LessonError, Problem, Spot
from classpack.model.formula import Formula
from classpack.model.larder import Larder
from classpack.model.lesson import (
    PER,
    PURPOSES,
    Bake,
    BaseDough,
    Fault,
    KitItem,
    Lesson,
    Swap,
    Talk,
    Use,
    Variation,
    Vessel,
)
from classpack.model.taken import Taken
from classpack.model.vessel_sizes import dough_for_baked_g
from classpack.quantities import (
    HOUSEHOLDS,
    Amount,
    NotUnderstood,
    OvenHeat,
    parse_amount,
    parse_celsius,
    parse_minutes,
    parse_number,
    parse_percent,
    plain,
)
from classpack.reading.formula_section import known_ingredient, read_formula
from classpack.reading.household_weights import short_from, weighed, weighed_from
from classpack.reading.lesson_names import with_larder_names
from classpack.reading.method_lines import (
    Method,
    Usual,
    read_demonstration,
    read_method,
    read_step_text,
)
from classpack.reading.plausible import (
    DOUGH,
    HEAVIEST_SHARE_G,
    MOST_PIECES,
    piece_in_tin,
)
from classpack.reading.preferment_section import read_preferments
from classpack.reading.sections import Section, nearest, parsed
from classpack.reading.usual_values import (
    DOUGH_C,
    KIT,
    LEFT_PERCENT,
    usual_kit,
    usual_loss_percent,
    usual_per_shelf,
)
from classpack.reading.vessel_lines import parse_piece
from classpack.reading.yaml_lines import Fields, Node, Text, read_nodes

_USE = re.compile(
    r"(?P<amount>.+?)\s+per\s+(?P<per>\w+)(?:\s+for\s+(?P<purpose>\w+))?(?:,\s*(?P<note>.+))?"
)
_KIT = re.compile(r"(?P<count>[\d./½]+)\s+(?:per|for the)\s+(?P<per>\w+)")


def read_lesson(text: str, file: str, larder: Larder, oven_kind: str = "conventional") -> Lesson:
    """The lesson in ``text``; every ingredient it names must be in ``larder``.

    ``oven_kind`` is the kitchen's, for a bake that names none.

    Raises:
        LessonError: with every problem found.
    """
    problems: list[Problem] = []
    told: list[str] = []
    node = read_nodes(text, file)
    larder, node = _as_written(node, larder, problems, told)
    top = Section(node, "the lesson", problems)
    top.raw("written in")
    title = top.text("lesson", "the lesson's name, as in 'lesson: One dough, four breads'")
    base_section = top.section("base", "the base dough", "the base dough's section, 'base:'")
    measured: list[tuple[str, str]] = []
    usual = Usual(oven_kind=oven_kind)
    base = _read_base(base_section, larder, measured, usual) if base_section else None
    dough = _written(base_section, "formula", "weights", "preferments")
    variations = tuple(
        _read_variation(name, node, dough, base, larder, measured, usual, problems)
        for name, node in top.fields(
            "variations", "the breads, each as a section below 'variations:'"
        )
    )
    if top.has("variations") and not variations:
        top.problem(top.spot_of("variations"), "there is no variation", "write at least one bread")
    breads = [one.name for one in variations]
    off, moved = _read_off(top), top.texts("cautions on the station sheet")
    lesson = Lesson(
        title=title,
        file=file,
        base=base or _no_base(),
        variations=variations,
        about=_braced(top, "about", None if dough is None else _all_names(dough, base, variations)),
        swaps=_read_swaps(top, larder, breads),
        faults=_read_faults(top),
        talks=_read_talks(top),
        off=tuple((name.value, reason) for name, reason in off),
        moved=tuple(one.value for one in moved),
        read_as=tuple(dict.fromkeys(told)),
        measured=tuple(dict.fromkeys(measured)),
        text_spots=_text_spots(top, "lesson", "about"),
        taken=tuple(usual.taken),
        caution_spots=tuple((one.value, one.spot) for one in (*moved, *(name for name, _ in off))),
    )
    top.close()
    if problems:
        raise LessonError(problems)
    return lesson


def _as_written(
    node: Node, larder: Larder, problems: list[Problem], told: list[str]
) -> tuple[Larder, Node]:
    """The larder with the measures this lesson is written in, and the lesson with the larder's own names."""
    if isinstance(node, Fields):
        region = Section(node, "the lesson", problems).choice("written in", HOUSEHOLDS)
        larder = replace(larder, measures=larder.measures.written_for(region), _by_name={})
    return larder, with_larder_names(node, larder, problems, told)


def bread_names(text: str, file: str) -> tuple[str, ...]:
    """The names of a lesson's breads, even where the lesson itself has problems; none when it is not YAML."""
    try:
        node = read_nodes(text, file)
    except LessonError:
        return ()
    breads = node.get("variations") if isinstance(node, Fields) else None
    return tuple(key.value for key, _ in breads.fields) if isinstance(breads, Fields) else ()


def _no_base() -> BaseDough:
    return BaseDough("", Formula("", ()), (), Fraction(25), Fraction(0))


def _written(section: Section | None, *names: str) -> tuple[str, ...] | None:
    """The keys below ``names``, even those whose values cannot be read; None when there is nothing to go by."""
    found = [section.node.get(name) for name in names] if section else []
    sections = [node for node in found if isinstance(node, Fields)]
    return tuple(key.value for node in sections for key, _ in node.fields) if sections else None


# ---------------------------------------------------------------- base dough


def _read_base(
    section: Section, larder: Larder, measured: list[tuple[str, str]], usual: Usual
) -> BaseDough:
    name = section.text("name", "what you call the dough, as in 'name: White dough'")
    read = read_formula(section, larder)
    preferments = read_preferments(section, read.lines, larder)
    measured += read.measured
    uses = _read_uses(section, "also used", "dusting", larder, measured)
    for use in uses:
        if use.per in ("piece", "tray") and use.spot:
            section.problem(
                use.spot,
                f"{use.ingredient} is counted per {use.per}, which the base dough does not know",
                "count it per student, station or class, or write it in each bread's 'also used'",
            )
    formula = Formula(name, read.lines, preferments)
    method = read_method(
        section.items("method", "the steps, each as '- mix: ...'"),
        "the base dough",
        _written(section, "formula", "weights", "preferments", "also used"),
        section.problems,
        usual,
    )
    in_dough = {*(line.ingredient for line in read.lines), *(one.name for one in preferments)}
    _check_told(method, in_dough, uses, section.problems)
    if method.bake:
        section.problem(
            section.spot_of("method"), "the base dough is baked", "write 'bake' in the variations"
        )
    if section.has("method") and sum(step.stage == "bulk proof" for step in method.steps) != 1:
        section.problem(
            section.spot_of("method"),
            "the base dough needs one bulk proof",
            "write one step '- bulk proof: 60 min'",
        )
    dough_c = section.read(
        "dough temperature",
        DOUGH.of(lambda t: parse_celsius(t, "the dough temperature"), "the dough temperature"),
    )
    if not section.has("dough temperature"):
        usual.taken.append(
            Taken(
                "the dough temperature",
                f"dough temperature: {plain(DOUGH_C)} C",
                section.spot,
                "before",
            )
        )
    left = section.read(
        "left in the bowl",
        lambda t: parse_percent(t, "'left in the bowl'", "2 %"),
    )
    if not section.has("left in the bowl"):
        left = LEFT_PERCENT
        text = f"left in the bowl: {plain(left)} %"
        usual.taken.append(Taken("what is left in the bowl", text, section.spot, "before"))
    if left is not None and left > 15:
        half = left >= 50
        section.problem(
            section.spot_of("left in the bowl"),
            f"{'half the dough or more' if half else f'{plain(left)} % of the dough'} is left in the bowl",
            f"did you mean {2 if half else plain(left / 10)} %?",
        )
        left = Fraction(0)
    base = BaseDough(
        name=name,
        formula=formula,
        method=method.steps,
        dough_c=dough_c if dough_c is not None else DOUGH_C,
        left_percent=left or Fraction(0),
        mixed_by=section.choice("mixed by", ("hand", "mixer"), default="hand"),
        mixed_by_stated=section.has("mixed by"),
        uses=uses,
        kit=_base_kit(section, usual),
        reads=read.reads,
        stated=read.stated,
        stated_spot=read.stated_spot,
        spot=section.spot,
    )
    section.close()
    return base


# ---------------------------------------------------------------- uses and kit


def _read_uses(
    section: Section,
    name: str,
    purpose: str,
    larder: Larder,
    measured: list[tuple[str, str]],
) -> tuple[Use, ...]:
    uses = []
    for key, node in section.fields(name):
        if not known_ingredient(key, larder, section.problems):
            parsed(node, key.value, partial(_parse_use, key, purpose, larder, []), section.problems)
            continue
        use = parsed(
            node, key.value, partial(_parse_use, key, purpose, larder, measured), section.problems
        )
        if use is not None:
            uses.append(use)
    return tuple(uses)


def _parse_use(
    key: Text, purpose: str, larder: Larder, measured: list[tuple[str, str]], text: str
) -> Use:
    example = "60 g per piece" if purpose == "topping" else "15 g per student for dusting"
    match = _USE.fullmatch(text)
    if match is None:
        raise NotUnderstood(
            f"{key.value} is '{text}'", f"write how much and per what, as in '{example}'"
        )
    per = match["per"]
    if per not in PER:
        raise NotUnderstood(f"{key.value} is per '{per}'", nearest(per, PER))
    said = match["purpose"] or purpose
    if said not in PURPOSES:
        raise NotUnderstood(f"{key.value} is for '{said}'", nearest(said, PURPOSES))
    amount = parse_amount(match["amount"], key.value, example, larder.measures.household)
    if (
        amount.written
        and amount.unit == "ml"
        and "sp" not in amount.written
        and larder.get(key.value)
    ):
        grams = weighed(amount, key.value, larder)
        measured.append(
            (
                short_from(amount, key.value, grams, larder),
                weighed_from(amount, key.value, grams, larder),
            )
        )
        amount = Amount(grams, "g", amount.written)
    return Use(
        key.value,
        amount,
        per,
        said,
        match["note"] or "",
        key.spot,
    )


def _read_kit(section: Section) -> tuple[KitItem, ...]:
    kit = []
    for key, node in section.fields("kit"):
        item = parsed(node, key.value, partial(_parse_kit, key=key), section.problems)
        if item is not None:
            kit.append(item)
    return tuple(kit)


def _base_kit(section: Section, usual: Usual) -> tuple[KitItem, ...]:
    """The kit of a bench: the usual one where the dough names none."""
    if section.has("kit") or not section.is_section:
        return _read_kit(section)
    section.raw("kit")
    lines = "".join(f"\n  {name}: 1 per {per}" for name, per in KIT)
    usual.taken.append(Taken("the kit of a bench", f"kit:{lines}", section.spot, "before"))
    return usual_kit(section.spot)


def _parse_kit(text: str, key: Text) -> KitItem:
    match = _KIT.fullmatch(text)
    if match is None or match["per"] not in PER:
        raise NotUnderstood(
            f"{key.value} is '{text}'",
            "write how many and per what, as in '1 per student', '2 per station', '1 for the class'",
        )
    return KitItem(key.value, parse_number(match["count"]), match["per"], key.spot)


# ---------------------------------------------------------------- variations


def _read_variation(
    key: Text,
    node: Node,
    dough: tuple[str, ...] | None,
    base: BaseDough | None,
    larder: Larder,
    measured: list[tuple[str, str]],
    usual: Usual,
    problems: list[Problem],
) -> Variation:
    base_uses = base.uses if base else ()
    section = Section(node, f"'{key.value}'", problems, key.spot)
    sold = section.has("sold at")
    weight, vessel, computed = section.read(
        "sold at" if sold else "piece",
        partial(parse_piece, own=larder.measures, what="'sold at'" if sold else "'piece'"),
        "the piece's dough, as in 'piece: 820 g in a 2100 ml tin'",
    ) or (Fraction(1), Vessel("free"), "")
    if sold and section.has("piece"):
        section.raw("piece")
        section.problem(
            section.spot_of("piece"),
            f"'{key.value}' has both 'piece' and 'sold at'",
            "keep one: the dough of a piece, or what it weighs baked",
        )
    if computed:
        measured.append(("", computed))
    pieces = section.whole("pieces", 1, MOST_PIECES, "one student's share, as in 'pieces: 1'") or 1
    uses = (
        *_read_uses(section, "toppings", "topping", larder, measured),
        *_read_uses(section, "also used", "dusting", larder, measured),
    )
    own = _written(section, "toppings", "also used") or ()
    known = None if dough is None else (*own, *dough, *(use.ingredient for use in base_uses))
    method = read_method(
        section.items("method", "the steps, each as '- shape: ...'"),
        f"'{key.value}'",
        known,
        problems,
        replace(
            usual,
            loss_percent=usual_loss_percent(vessel, weight),
            per_shelf=usual_per_shelf(vessel, weight),
        ),
    )
    _check_told(method, set(dough or ()), (*uses, *base_uses), problems)
    _check_used_up(method, base, set(dough or ()), uses, problems)
    if section.has("method") and method.bakes == 0:
        section.problem(
            section.spot_of("method"),
            f"'{key.value}' has no bake",
            "write '- bake: 32 min at 230 C conventional'",
        )
    if sum(step.stage == "final proof" for step in method.steps) > 1:
        section.problem(
            section.spot_of("method"),
            f"'{key.value}' has two final proofs",
            "keep one; call the other 'bench rest'",
        )
    if method.bake and "final proof" in [step.stage for step in method.steps][method.load_at :]:
        section.problem(
            section.spot_of("method"),
            f"'{key.value}' is baked before its final proof",
            "put '- bake' after '- final proof'",
        )
    if sold and method.bake:
        baked, weight = weight, dough_for_baked_g(weight, method.bake.loss_percent)
        weight = Fraction(-(-weight // 1))
        told = f"{key.value}: sold at {plain(baked)} g is {plain(weight)} g of dough, {plain(method.bake.loss_percent)} % lost in the oven"
        measured.append(("", told))
    _check_vessel(section, weight, vessel)
    if weight * pieces > HEAVIEST_SHARE_G:
        section.problem(
            section.spot_of("pieces" if section.has("pieces") else "piece"),
            f"one student's share is {plain(weight * pieces / 1000)} kg of dough",
            f"it is at most {HEAVIEST_SHARE_G // 1000} kg",
        )
    bake = method.bake or Bake(
        Fraction(1), OvenHeat(Fraction(200)), (Fraction(200), Fraction(200)), Fraction(0), 1
    )
    variation = Variation(
        name=key.value,
        one=section.text("one", default=key.value),
        many=section.text("many", default=_plural(key.value)),
        piece_dough_g=weight,
        pieces=pieces,
        vessel=vessel,
        pieces_per_tray=section.whole("per tray", 1, 500) or bake.pieces_per_shelf,
        uses=uses,
        method=method.steps,
        bake=bake,
        home_pieces=section.whole("at home", 1, 100) or pieces,
        kit=_read_kit(section),
        swaps=_read_swaps(section, larder, [key.value]),
        faults=_read_faults(section),
        storage=_braced(section, "keeps", known),
        about=_braced(section, "about", known),
        stressed=_read_named_for(section, known),
        demonstration=read_demonstration(section.section("demonstration")),
        spot=key.spot,
        text_spots=_text_spots(section, "one", "many", "keeps", "about"),
    )
    section.close()
    return variation


def _braced(section: Section, name: str, known: tuple[str, ...] | None) -> str:
    """A text that may name ingredients in braces, so that they follow the swaps."""
    node = section.raw(name)
    if isinstance(node, Text) and known is not None:
        read_step_text(node, known, section.problems)
    return section.text(name)


def _all_names(
    dough: tuple[str, ...], base: BaseDough | None, breads: Iterable[Variation]
) -> tuple[str, ...]:
    uses = (*(base.uses if base else ()), *(use for bread in breads for use in bread.uses))
    return (*dough, *(use.ingredient for use in uses))


def _text_spots(section: Section, *names: str) -> tuple[tuple[str, Spot], ...]:
    """Where texts are written that name food: a word in them is told at its line."""
    return tuple((name, section.spot_of(name)) for name in names if section.has(name))


def _check_told(
    method: Method, in_dough: set[str], uses: tuple[Use, ...], problems: list[Problem]
) -> None:
    """A card cannot say how much its reader takes of what is counted for a station or the class."""
    for step in method.steps:
        for name in step.ingredients:
            counted = [use.per for use in uses if use.ingredient == name]
            told = name in in_dough or not counted or {*counted} - {"station", "class"}
            if not told and step.spot:
                problems.append(
                    Problem(
                        step.spot,
                        f"'{{{name}}}' is counted per {counted[0]}, so no card can say how much",
                        "write its name without braces, or count it per student or piece",
                    )
                )


def _check_used_up(
    method: Method,
    base: BaseDough | None,
    in_dough: set[str],
    uses: tuple[Use, ...],
    problems: list[Problem],
) -> None:
    """What the dough's own steps have used up is not there a second time: a bread that names it again says how much more."""
    if base is None:
        return
    gone = in_dough & {name for step in base.method for name in step.ingredients}
    more = {use.ingredient for use in (*uses, *base.uses)}
    for step in method.steps:
        for name in step.ingredients:
            if name in gone - more and step.spot:
                more.add(name)  # told once
                purpose = step.stage if step.stage in PURPOSES else "glaze"
                problems.append(
                    Problem(
                        step.spot,
                        f"'{{{name}}}' is in the dough already, and the dough's steps have used it up",
                        f"say how much more, as in 'also used:' and below it '{name}: 10 g per piece for {purpose}', or write its name without braces",
                    )
                )


def _read_named_for(section: Section, known: tuple[str, ...] | None) -> tuple[str, ...]:
    found = section.texts("named for")
    for one in found:
        if known is not None and one.value not in known:
            section.problem(
                one.spot,
                f"'{one.value}' is no ingredient of this bread",
                nearest(one.value, known),
            )
    return tuple(one.value for one in found)


def _plural(name: str) -> str:
    if name.endswith("loaf"):
        return name[:-4] + "loaves"
    return name if name.endswith("s") else name + "s"


def _check_vessel(section: Section, weight: Fraction, vessel: Vessel) -> None:
    # 1 ml of tin never holds more than 1 g of raw dough: unrisen dough is about as dense as water (from memory).
    if vessel.volume_ml is not None and weight > vessel.volume_ml:
        section.problem(
            section.spot_of("piece"),
            f"{plain(weight)} g of dough do not go into a tin of {plain(vessel.volume_ml)} ml",
            "a tin takes about a third of its millilitres in grams of dough",
        )
    elif vessel.volume_ml is not None and (asked := piece_in_tin(weight, vessel.volume_ml)):
        section.problem(
            section.spot_of("piece"),
            f"{plain(weight)} g of dough would cover the bottom of a tin of {plain(vessel.volume_ml)} ml",
            asked,
        )


# ---------------------------------------------------------------- swaps, faults, talks


def _read_swaps(section: Section, larder: Larder, breads: list[str]) -> tuple[Swap, ...]:
    swaps = []
    for node in section.items("swaps"):
        one = Section(node, f"a swap of {section.what}", section.problems)
        out = one.raw("out", "the ingredient that goes out, as in 'out: sesame seeds'")
        into = one.raw("in")
        leave = one.yes_no("leave out")
        ratio = one.read("ratio", lambda t: parse_number(t))
        only = one.texts("only in")
        for name in only:
            if name.value not in breads:
                one.problem(
                    name.spot, f"there is no bread '{name.value}'", nearest(name.value, breads)
                )
        if into is None and not leave:
            one.problem(
                one.spot, "the swap puts nothing in", "write 'in: poppy seeds', or 'leave out: yes'"
            )
        if ratio is not None and ratio == 0:
            one.problem(one.spot_of("ratio"), "the ratio is 0", "write 'leave out: yes' instead")
        if into is not None and leave:
            one.problem(
                one.spot_of("in"),
                "the swap puts something in and leaves it out",
                "keep 'in' or 'leave out: yes'",
            )
        for side, named in (("out", out), ("in", into)):
            if named is not None and not isinstance(named, Text):
                one.problem(
                    named.spot, f"'{side}' is not one ingredient", "write one swap for each"
                )
        names = [n for n in (out, into) if isinstance(n, Text)]
        known = [known_ingredient(name, larder, section.problems) for name in names]
        if all(known) and isinstance(out, Text):
            new = into.value if isinstance(into, Text) and not leave else ""
            if new == out.value:
                one.problem(one.spot, f"{new} is swapped for itself", "name another ingredient")
            only_in = tuple(name.value for name in only)
            if len(breads) == 1 and section.what == f"'{breads[0]}'":
                only_in = (breads[0],)
            swaps.append(
                Swap(out.value, new, ratio or Fraction(1), one.text("method"), only_in, one.spot)
            )
        one.text("method")
        one.close()
    return tuple(swaps)


def _read_faults(section: Section) -> tuple[Fault, ...]:
    faults = []
    for node in section.items("faults"):
        one = Section(node, f"a fault of {section.what}", section.problems)
        faults.append(
            Fault(
                one.text("seen", "'seen: what it looks like'"),
                one.text("because", "'because: why'"),
                one.text("mend"),
                one.spot,
            )
        )
        one.close()
    return tuple(faults)


def _read_talks(section: Section) -> tuple[Talk, ...]:
    talks = []
    for node in section.items("talks"):
        one = Section(node, "a talk", section.problems)
        name = one.text("about", "'about: yeast'")
        minutes = one.read(
            "minutes", lambda t: parse_minutes(t, "'minutes'", "5 min"), "'minutes: 5 min'"
        )
        say = one.text("say", "'say: what to say'")
        when = one.choice(
            "when",
            ("start", "rest", "bulk proof", "bench rest", "final proof", "bake", "cool"),
            default="bulk proof",
        )
        one.close()
        talks.append(Talk(name, minutes or Fraction(5), say, when, one.spot))
    return tuple(talks)


def _read_off(section: Section) -> tuple[tuple[Text, str], ...]:
    found = []
    for key, node in section.fields("cautions turned off"):
        if isinstance(node, Text) and len(node.value) >= 10:
            found.append((key, node.value))
        else:
            section.problem(
                node.spot,
                f"'{key.value}' is turned off without a reason",
                "write the reason; it is printed",
            )
    return tuple(found)
