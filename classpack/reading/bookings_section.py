"""The class file's part in bookings: which column is which, and decisions by the booked name."""

from __future__ import annotations

from dataclasses import replace

from classpack.model.class_day import Person
from classpack.reading.bookings_file import COLUMNS, NONE_WRITTEN, Columns, booked_rows
from classpack.reading.class_file import KnownBread
from classpack.reading.class_file import _read_decision as read_decision
from classpack.reading.class_file import _read_stations as read_stations
from classpack.reading.person_lines import read_agreements, read_emergency
from classpack.reading.sections import Section, nearest
from classpack.reading.yaml_lines import Fields


def booked_people(
    top: Section, data: bytes, file: str, breads: tuple[KnownBread, ...]
) -> tuple[Person, ...]:
    """The booked people of a class file, not seated yet, with its decisions; ask before :func:`classpack.reading.class_file.read_class`.

    Args:
        top: the class file's section; problems go to its list.
        data: the bookings file's bytes.
        file: its name, for messages.
    """
    columns = bookings_columns(top)
    if columns is None:
        return ()
    people = booked_rows(data, file, columns, breads, read_stations(top), top.problems)
    return with_decisions(top, people, breads)


def bookings_columns(top: Section) -> Columns | None:
    """The class file's ``bookings:`` section, or None when there is none that can be used. Problems go to the section's list.

    >>> from classpack.reading.yaml_lines import read_nodes
    >>> text = "bookings: {file: b.csv, columns: {name: Full name, needs: Allergies}, none is written: [none, No]}"
    >>> columns = bookings_columns(Section(read_nodes(text, "day.yaml"), "the class day", []))
    >>> columns.name, columns.needs, columns.none_written
    ('Full name', 'Allergies', ('none', 'No'))
    """
    node = top.raw("bookings")
    if node is None:
        return None
    example = "the columns, as in 'columns: {name: Full name, needs: Allergies, makes: Bread, station: Bench}'"
    if not isinstance(node, Fields):
        top.problem(
            node.spot,
            "'bookings' does not say which column is which",
            f"write 'file: bookings.csv' and {example}",
        )
        return None
    section = Section(node, "'bookings'", top.problems)
    section.text("file", "'file: bookings.csv'")
    inner = section.section("columns", "'columns'", example)
    named: dict[str, str] = {}
    if inner is not None:
        for key in COLUMNS:
            required = f"'{key}: ' and the column's header" if key in ("name", "needs") else ""
            named[key] = inner.text(key, required)
        inner.close()
    none = tuple(text.value for text in section.texts("none is written"))
    columns = Columns(
        name=named.get("name", ""),
        needs=named.get("needs", ""),
        station=named.get("station", ""),
        seat=named.get("seat", ""),
        makes=named.get("makes", ""),
        child=named.get("child", ""),
        none_written=none or NONE_WRITTEN,
        usual_makes=section.text("makes"),
        usual_station=section.text("station"),
        spot=node.spot,
    )
    section.close()
    return columns if columns.name and columns.needs else None


def with_decisions(
    top: Section, people: tuple[Person, ...], breads: tuple[KnownBread, ...]
) -> tuple[Person, ...]:
    """Booked people with the decisions of the class file's ``decisions:`` list, each by the person's name:
    ``- {name: Ada Lindqvist, decision: {makes: rolls, reason: ...}}``, what they agreed to, and whom to call."""
    places = {person.name.casefold(): number for number, person in enumerate(people)}
    found = list(people)
    decided: set[int] = set()
    for node in top.items("decisions"):
        section = Section(node, "a decision", top.problems)
        name = section.text("name", "'name:' and the name as it is booked")
        decision = read_decision(section, breads)
        agreed, emergency = read_agreements(section), read_emergency(section)
        section.close()
        place = places.get(name.casefold())
        if place is None:
            if name:
                top.problem(
                    section.spot_of("name"),
                    f"nobody called '{name}' is booked",
                    nearest(name, [person.name for person in people]),
                )
        elif place in decided:
            top.problem(section.spot, f"there are two decisions for '{name}'", "keep one of them")
        else:
            decided.add(place)
            found[place] = replace(
                found[place], decision=decision, agreed=agreed, emergency=emergency
            )
    return tuple(found)
