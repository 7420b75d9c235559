"""Names on paper that everybody sees: whole, or first names only where the class file asks for it."""

from __future__ import annotations

from classpack.planning.plan.class_plan import ClassPlan


def wall_name(plan: ClassPlan, index: int) -> str:
    """How paper on a wall, at a station or on a tin calls a person. The seat beside it tells two of one name apart."""
    name = plan.day.people[index].name
    return short_name(plan, index) if plan.day.first_names_only else name


def short_name(plan: ClassPlan, index: int) -> str:
    """The first name; where two people share it, with the first letter of the last one."""
    people = plan.day.people
    first = people[index].name.split()[0]
    same = sum(person.name.split()[0].casefold() == first.casefold() for person in people)
    rest = people[index].name.split()[1:]
    return f"{first} {rest[-1][0]}." if same > 1 and rest else first
