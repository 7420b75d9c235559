"""What a class file says about the dough of the day: yeast, flour, tins, and whether the sums are printed."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import partial

from classpack.model.dough_day import DoughOrders, FlourSwitch, TinSwitch
from classpack.quantities import NotUnderstood, parse_number, parse_percent, plain
from classpack.reading.sections import Section, nearest, parsed
from classpack.reading.yaml_lines import Text

FACTOR_FORMS = ("active dry", "instant")
MOST_YEAST_PERCENT = 400
MOST_MORE_WATER = 30


def read_dough_orders(top: Section, breads: Iterable[str]) -> DoughOrders:
    """The dough's keys of the class file's section ``top``; all of them may be absent."""
    return DoughOrders(
        yeast_factors=_factors(top),
        yeast_percent=top.read("yeast amount", _yeast_amount) or Fraction(100),
        flour=_flour(top),
        tins=_tins(top, list(breads)),
        sums=top.yes_no("dough sums"),
    )


def _factors(top: Section) -> tuple[tuple[str, Fraction], ...]:
    found = []
    for key, node in top.fields("yeast factors"):
        if key.value not in FACTOR_FORMS:
            top.problem(
                key.spot, f"'yeast factors' has '{key.value}'", nearest(key.value, FACTOR_FORMS)
            )
            continue
        factor = parsed(node, key.value, partial(_factor, key.value), top.problems)
        if factor is not None:
            found.append((key.value, factor))
    return tuple(found)


def _factor(form: str, text: str) -> Fraction:
    factor = parse_number(text)
    if not Fraction(1, 5) <= factor <= 1:
        raise NotUnderstood(
            f"{form} is '{text}'",
            "write the grams that do the work of 1 g fresh yeast, as in '0.4'; published factors go from 0.33 to 0.5",
        )
    return factor


def _yeast_amount(text: str) -> Fraction:
    percent = parse_percent(text, "'yeast amount'", "80 %")
    if not 10 <= percent <= MOST_YEAST_PERCENT:
        raise NotUnderstood(
            f"'yeast amount' is '{text}'",
            f"it is a part of the lesson's yeast, from 10 % to {MOST_YEAST_PERCENT} %, as in '80 %'",
        )
    return percent


def _flour(top: Section) -> FlourSwitch | None:
    section = top.section("flour change")
    if section is None:
        return None
    out = section.text("out", "the flour that goes out, as in 'out: strong white flour'")
    into = section.text("in", "the flour that comes in, as in 'in: strong wholemeal flour'")
    share = section.read(
        "share",
        lambda t: parse_percent(t, "'share'", "30 %"),
        "how much, of all the flour, as in 'share: 30 %'",
    )
    if share is not None and not 0 < share <= 100:
        section.problem(
            section.spot_of("share"),
            f"the share is {plain(share)} %",
            "it is a part of all the flour: more than 0 %, at most 100 %",
        )
        share = None
    more = section.read("more water", _more_water)
    section.close()
    if not (out and into and share):
        return None
    if out == into:
        section.problem(section.spot_of("in"), f"{out} is changed for itself", "name another flour")
        return None
    return FlourSwitch(out, into, share, more or Fraction(0), section.spot)


def _more_water(text: str) -> Fraction:
    points = parse_percent(text, "'more water'", "3 %")
    if points > MOST_MORE_WATER:
        raise NotUnderstood(
            f"'more water' is '{text}'",
            f"it is added to the water's percentage; at most {MOST_MORE_WATER} %",
        )
    return points


def _tins(top: Section, breads: list[str]) -> tuple[TinSwitch, ...]:
    found = []
    for key, node in top.fields("tins"):
        if key.value not in breads:
            top.problem(key.spot, f"there is no bread '{key.value}'", nearest(key.value, breads))
        elif not isinstance(node, Text) or not node.value:
            top.problem(
                node.spot,
                f"'{key.value}' has no tin's name",
                "write the name of one of the kitchen's tins, as in 'tin loaf: long tin'",
            )
        else:
            found.append(TinSwitch(key.value, node.value, node.spot))
    return tuple(found)
