"""What a class file says of one person beside bread and needs: what they agreed to, and whom to call."""

from __future__ import annotations

from classpack.model.allergens import ALLERGENS, allergen_id
from classpack.model.class_day import Agreement, Emergency
from classpack.quantities import parse_date
from classpack.reading.sections import Section, nearest

SHORTEST_REASON = 10


def read_agreements(person: Section) -> tuple[Agreement, ...]:
    """``agreed: {almonds: {on: 2027-03-01, reason: ...}}``: traces that this person was told of and agreed to in writing."""
    found = []
    for key, node in person.fields("agreed"):
        inner = Section(node, f"'{key.value}'", person.problems)
        allergen = allergen_id(key.value)
        if allergen is None:
            inner.problem(
                key.spot,
                f"'{key.value}' is no allergen known here",
                nearest(key.value, [one.everyday for one in ALLERGENS]),
            )
        on = inner.read("on", parse_date, "the day they agreed in writing, as in 'on: 2027-03-01'")
        reason = inner.text("reason", "what they were told, which is printed on the needs sheet")
        if reason and len(reason) < SHORTEST_REASON:
            inner.problem(
                inner.spot_of("reason"),
                f"the reason is '{reason}'",
                "write what they were told in a few words; it is printed on the needs sheet",
            )
        inner.close()
        if allergen is not None and on is not None and reason:
            found.append(Agreement(allergen, reason, on, key.spot))
    return tuple(found)


def read_emergency(person: Section) -> Emergency | None:
    """``in an emergency: {call: ..., telephone: ..., plan: ..., medicine: ..., given by: ...}``; every line may be missing."""
    inner = person.section("in an emergency", "'in an emergency'")
    if inner is None:
        return None
    found = Emergency(
        inner.text("call"),
        inner.text("telephone"),
        inner.text("plan"),
        inner.text("medicine"),
        inner.text("given by"),
    )
    if inner.is_section and not inner.node.fields:
        inner.problem(
            inner.spot,
            "'in an emergency' says nothing",
            "write 'call', 'telephone', 'plan', 'medicine' (where it lies) and 'given by', as far as you know them",
        )
    inner.close()
    return found
