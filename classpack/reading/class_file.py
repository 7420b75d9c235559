"""The class day file: who comes, when, where, and who makes what."""

from __future__ import annotations

import dataclasses
import datetime
import itertools
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from classpack.errors import Problem, Spot
from classpack.model.allergens import ALLERGENS, BY_ID, GROUPS, allergen_id
from classpack.model.class_day import (
    MIXED_BY,
    ClassDay,
    Decision,
    Making,
    MustNotHave,
    Person,
    Station,
    Stock,
)
from classpack.model.larder import YEAST_FORMS
from classpack.model.regions import REGIONS, Region
from classpack.quantities import (
    NotUnderstood,
    parse_amount,
    parse_celsius,
    parse_celsius_difference,
    parse_clock,
    parse_date,
    parse_minutes,
    parse_number,
    parse_percent,
)
from classpack.reading.breaks_section import read_breaks
from classpack.reading.dough_section import read_dough_orders
from classpack.reading.gluten_room_section import read_gluten_room
from classpack.reading.label_grid import read_labels
from classpack.reading.person_lines import SHORTEST_REASON, read_agreements, read_emergency
from classpack.reading.plausible import FLOUR, FRICTION, ROOM, TAP, Limits
from classpack.reading.school_section import read_logo, read_school
from classpack.reading.sections import Section, nearest, parsed
from classpack.reading.yaml_lines import Fields, Items, Node, Text, read_nodes

PAPERS = ("A4", "Letter", "A5", "A5-on-A4")
STYLES = ("normal", "large print", "high contrast", "ink saving")
MOST_PEOPLE = 500
MOST_PIECES = 500
LONGEST_NAME = 80
LONGEST_ADDRESS = 130
LONGEST_TIMES = {"loading": 15, "unloading": 15, "hand washing": 60, "cleaning": 180}
"""Minutes; every other time of the day is at most eight hours. A load that takes longer to go in bakes unevenly."""
CONFIRMED = ("group size",)
"""What may be printed on the tutor's own word only."""
OWN_TOOLS = ("for allergies", "for everyone")
DECISIONS = ("makes", "watches only", "does not attend", "left out for everyone")


@dataclass(frozen=True, slots=True)
class ClassFiles:
    """The other files a class day names, as written, with their places."""

    lesson: Text | None
    kitchen: Text | None
    larder: Text | None
    cautions: Text | None
    risk: Text | None
    bookings: Text | None
    logo: Text | None = None


@dataclass(frozen=True, slots=True)
class KnownBread:
    """What the class file may name: a variation and one student's share of it."""

    name: str
    pieces: int


def open_class(text: str, file: str) -> tuple[Section, ClassFiles, list[Problem]]:
    """The class file's section and the files it names, so that these can be read first."""
    problems: list[Problem] = []
    top = Section(read_nodes(text, file), "the class day", problems)
    files = ClassFiles(
        lesson=_file_name(top, "lesson", "the lesson's file, as in 'lesson: one-dough.yaml'"),
        kitchen=_file_name(top, "kitchen", "the kitchen's file, as in 'kitchen: net-loft.yaml'"),
        larder=_file_name(top, "larder"),
        cautions=_file_name(top, "cautions"),
        risk=_file_name(top, "risk assessment"),
        bookings=_bookings_name(top),
        logo=read_logo(top),
    )
    return top, files, problems


def _file_name(top: Section, name: str, required: str = "") -> Text | None:
    node = top.raw(name, required)
    if node is None:
        return None
    if not isinstance(node, Text) or not node.value:
        top.problem(
            node.spot,
            f"'{name}' is not a file's name",
            required or f"write it as in '{name}: my-file.yaml'",
        )
        return None
    return node


def _bookings_name(top: Section) -> Text | None:
    node = top.raw("bookings")
    if isinstance(node, Fields):
        inner = node.get("file")
        return inner if isinstance(inner, Text) else None
    return node if isinstance(node, Text) else None


def read_class(
    top: Section, file: str, breads: tuple[KnownBread, ...], booked: tuple[Person, ...] = ()
) -> ClassDay:
    """The class day. ``booked`` are people read from a bookings file and not seated yet: all are seated together.

    Problems are added to the section's list; the caller raises them together with those of the other files.
    """
    assumed: list[str] = []
    stations = _read_stations(top)
    people = seated(booked + _read_people(top, breads, stations, booked), top.problems)
    if not people and not top.has("bookings"):
        top.problem(
            top.spot_of("people"),
            "nobody comes",
            "write the people below 'people:', each with a name",
        )
    _check_people(top, people, stations)
    start = top.read(
        "start", partial(parse_clock, what="'start'", example="10:00"), "'start: 10:00'"
    )
    end = top.read("end", partial(parse_clock, what="'end'", example="14:30"), "'end: 14:30'")
    start_min, end_min = start or 0, end if end is not None else (start or 0) + 240
    if start is not None and end is not None:
        if end == start:
            top.problem(top.spot_of("end"), "the class ends when it starts", "write a later end")
        elif end < start:
            if start - end < 12 * 60:
                top.problem(
                    top.spot_of("end"),
                    f"the class ends at {end // 60:02d}:{end % 60:02d}, before it starts",
                    "write a later end",
                )
            else:
                end_min = end + 24 * 60
                assumed.append("The class ends after midnight.")
    date = top.read("date", parse_date, "'date: 2027-03-13'") or datetime.date(2000, 1, 1)
    school, accent = read_school(top)
    times = top.section("times", "'times'")
    minutes = partial(_minutes, times)
    mixed_by = _or_say(
        top,
        "mixing",
        MIXED_BY,
        "each person",
        "Each person mixes a dough of their own",
        assumed,
    )
    place = _place(top, assumed)
    day = ClassDay(
        title=top.text("class", "the class's name, as in 'class: Saturday bread'"),
        file=file,
        date=date,
        start_min=start_min,
        end_min=end_min,
        people=people,
        stations=stations,
        mixed_by=mixed_by,
        demonstration=_read_makes(
            _unless_none(top, "demonstration"), "the demonstration", breads, top.problems
        ),
        spare=_read_makes(_unless_none(top, "spare"), "the spare", breads, top.problems),
        stock=_read_stock(top),
        allowance_percent=top.read("allowance", _allowance) or Fraction(0),
        region=place.law,
        place=place,
        language=top.text("language", default="en"),
        paper=top.choice("paper", PAPERS, default=place.paper),
        style=top.choice("style", STYLES, default="normal"),
        currency=_currency(top),
        school=school,
        accent=accent,
        tutor=top.text("tutor"),
        contact=top.text("contact"),
        assistants=top.whole("assistants", 0, 20) or 0,
        web=_web(top, "web"),
        pages=tuple((key.value, _address(node, top.problems)) for key, node in top.fields("pages")),
        yeast_form=top.choice("yeast", YEAST_FORMS),
        room_c=_degrees(top, "room temperature", ROOM, "21 C"),
        flour_c=_degrees(top, "flour temperature", FLOUR, "19 C"),
        tap_c=_degrees(top, "tap water", TAP, "12 C"),
        friction_c=top.read(
            "friction",
            FRICTION.of(
                partial(parse_celsius_difference, what="the friction", example="3 C"),
                "the friction",
            ),
        ),
        pace=_pace(top, assumed),
        welcome_min=minutes("welcome", 10),
        safety_min=minutes("safety talk", 5),
        break_min=minutes("break", 0),
        breaks=read_breaks(top, start_min, end_min, minutes("closing", 15)),
        closing_min=minutes("closing", 15),
        clean_min=minutes("cleaning", 15),
        hand_washing_min=minutes("hand washing", 5),
        loading_min=minutes("loading", 2),
        unloading_min=minutes("unloading", 2),
        ovens_on_before_min=minutes("ovens on before", 30),
        late_accepted=bool(top.choice("late", ("is accepted",))),
        ask_at_the_door=top.yes_no("ask at the door"),
        leave_out=tuple(t.value for t in top.texts("leave out for everyone")),
        tutor_needs=_read_needs(top.raw("tutor needs"), top.problems)[0],
        may_contain=_may_contain(top),
        gluten_room=read_gluten_room(top, date, place.law),
        children=top.yes_no("children") or any(person.child for person in people),
        first_names_only=top.yes_no("first names only"),
        tools_for_everyone=top.choice("own tools", OWN_TOOLS, default=OWN_TOOLS[0]) == OWN_TOOLS[1],
        confirmed=_read_confirmed(top),
        dough=read_dough_orders(top, (one.name for one in breads)),
        labels=read_labels(top),
        nutrition=top.yes_no("nutrition"),
        assumed=tuple(assumed),
        time_spots=(
            ("end", top.spot_of("end")),
            *((key.value, key.spot) for key, _ in (times.node.fields if times else ())),
        ),
        spot=top.spot,
    )
    if times is not None:
        times.close()
    _check_pages(top, breads)
    _check_agreements(top, day)
    top.close("bookings", *(("decisions",) if top.has("bookings") else ()))
    return day


def _check_agreements(top: Section, day: ClassDay) -> None:
    """Traces somebody agreed to are traces that the class file states, and were agreed to before the class."""
    for one in (one for person in day.people for one in person.agreed):
        name = BY_ID[one.allergen].everyday
        if one.allergen not in day.may_contain:
            top.problem(
                one.spot or top.spot,
                f"traces of {name} are agreed to, and the class file states none",
                f"take the agreement away, or write 'may contain: [{name}]'",
            )
        if one.on > day.date:
            top.problem(
                one.spot or top.spot,
                f"traces of {name} are agreed to on {one.on.isoformat()}, after the class",
                "write the day on which the person agreed",
            )


def _degrees(top: Section, name: str, limits: Limits, example: str) -> Fraction | None:
    what = f"the {name}"
    return top.read(name, limits.of(partial(parse_celsius, what=what, example=example), what))


def _may_contain(top: Section) -> tuple[str, ...]:
    """The allergens of the tutor's own risk statement, as ids. Groups are too vague for a label: each is named singly."""
    found = []
    for text in top.texts("may contain"):
        allergen = allergen_id(text.value)
        group = GROUPS.get(text.value.strip().lower())
        if allergen is not None:
            found.append(allergen)
        elif group:
            members = ", ".join(BY_ID[one].everyday for one in group)
            top.problem(
                text.spot,
                f"'may contain' says '{text.value}', which is too vague for a label",
                f"name each that may get in, of: {members}",
            )
        else:
            top.problem(
                text.spot,
                f"'{text.value}' is no allergen known here",
                nearest(text.value, [one.everyday for one in ALLERGENS]),
            )
    return tuple(dict.fromkeys(found))


def _allowance(text: str) -> Fraction:
    percent = parse_percent(text, "'allowance'", "3 %")
    if percent > 50:
        raise NotUnderstood(f"'allowance' is '{text}'", "it is at most 50 %; did you mean 3 %?")
    return percent


def _currency(top: Section) -> str:
    """A currency's three letters by ISO 4217; empty when the file leaves it to the larder."""
    code = top.text("currency")
    if code and not re.fullmatch("[A-Z]{3}", code):
        top.problem(
            top.spot_of("currency"),
            f"'currency' is '{code}'",
            "write its three letters, as in 'GBP' or 'EUR'",
        )
    return code


def _minutes(times: Section | None, name: str, usual: int) -> Fraction:
    if times is None:
        return Fraction(usual)
    node = times.raw(name)
    if isinstance(node, Text) and node.value in ("0 min", "none"):
        return Fraction(0)
    found = times.read(name, partial(_up_to_8_h, name))
    return found if found is not None else Fraction(usual)


def _up_to_8_h(name: str, text: str) -> Fraction:
    if text.startswith("0"):
        raise NotUnderstood(f"'{name}' is '{text}'", "write 'none', or minutes, as in '10 min'")
    minutes = parse_minutes(text, f"'{name}'", "10 min")
    most = LONGEST_TIMES.get(name, 8 * 60)
    if minutes > most:
        said = f"{most} min" if most <= 90 else f"{most // 60} h"
        raise NotUnderstood(f"'{name}' is '{text}'", f"it is at most {said}")
    return minutes


def _place(top: Section, assumed: list[str]) -> Region:
    """The region with its own keys laid over it: ``degrees``, ``clock``. Its law is another thing than its units."""
    said = _or_say(
        top,
        "region",
        tuple(REGIONS),
        "UK",
        "Allergens and labels follow the UK's rules",
        assumed,
    )
    place = REGIONS[said]
    if place.code == "CA":
        assumed.append(
            "No label law of Canada is held here: labels follow the EU's fourteen allergens, which hold Canada's."
        )
    degrees = top.choice("degrees", ("C", "F"), default=place.heat)
    clock = top.choice("clock", ("12 h", "24 h"), default=f"{place.clock} h")
    return dataclasses.replace(
        place, heat="F" if degrees == "F" else "C", clock="12" if clock == "12 h" else "24"
    )


def _or_say(
    top: Section, name: str, choices: tuple[str, ...], usual: str, sentence: str, assumed: list[str]
) -> str:
    if not top.has(name):
        top.raw(name)
        assumed.append(f"{sentence}: the class file does not say '{name}'.")
        return usual
    return top.choice(name, choices, default=usual)


def _pace(top: Section, assumed: list[str]) -> Fraction:
    def parse(text: str) -> Fraction:
        pace = parse_number(text)
        if not Fraction(1, 2) <= pace <= 5:
            raise NotUnderstood(
                f"'pace' is {text}", "beginners take 1 to 3 times a tutor's minutes; 1.5 is usual"
            )
        return pace

    pace = top.read("pace", parse)
    if pace is None and not top.has("pace"):
        assumed.append(
            "Beginners take 1.5 times a tutor's minutes: the class file does not say 'pace'."
        )
    return pace or Fraction(3, 2)


def _web(top: Section, name: str) -> str:
    node = top.raw(name)
    return _address(node, top.problems) if node is not None else ""


def _address(node: Node, problems: list[Problem]) -> str:
    text = node.value if isinstance(node, Text) else ""
    if (
        text.startswith(("https://", "http://"))
        and text.isascii()
        and not set(text) & set(' <>"\\^`{|}')
    ):
        if len(text) > LONGEST_ADDRESS:
            wrong = f"the web address has {len(text)} signs"
            right = f"keep it to {LONGEST_ADDRESS}, so that its code on the card can be read"
            problems.append(Problem(node.spot, wrong, right))
        return text
    problems.append(
        Problem(
            node.spot,
            f"'{text[:40]}' is not a web address",
            "write it whole, as in 'https://example.org/bread'",
        )
    )
    return ""


def _check_pages(top: Section, breads: tuple[KnownBread, ...]) -> None:
    names = [one.name for one in breads]
    for key, _ in top.fields("pages"):
        if key.value not in names:
            top.problem(key.spot, f"there is no bread '{key.value}'", nearest(key.value, names))


# ---------------------------------------------------------------- stations and people


def _read_stations(top: Section) -> tuple[Station, ...]:
    stations = []
    for key, node in top.fields(
        "stations", "the benches, as in 'stations:' and below it 'A: window bench'"
    ):
        if len(key.value) > 12:
            top.problem(
                key.spot,
                f"the station's name '{key.value[:20]}' is too long",
                "use a letter or a short word; its place comes after the colon",
            )
        if key.value.casefold() in ("", "tutor"):
            top.problem(
                key.spot,
                f"a station is called '{key.value}'",
                "use a letter or a short word; the tutor's own bench comes with 'demonstration'",
            )
        if isinstance(node, Text):
            stations.append(Station(key.value, node.value, key.spot))
            continue
        section = Section(node, f"station {key.value}", top.problems)
        stations.append(Station(key.value, section.text("place"), key.spot))
        section.close()
    if top.has("stations") and not stations:
        top.problem(
            top.spot_of("stations"),
            "there is no station",
            "write at least one, as in 'A: window bench'",
        )
    return tuple(stations)


def _read_people(
    top: Section,
    breads: tuple[KnownBread, ...],
    stations: tuple[Station, ...],
    already: tuple[Person, ...],
) -> tuple[Person, ...]:
    if not top.has("people") and (already or top.has("bookings")):
        top.raw("people")
        return ()
    people: list[Person] = []
    for node in top.items("people", "the people, each as '- name: ...'"):
        section = Section(node, "a person", top.problems)
        name = section.text("name", "the name, as in '- name: Ada Lindqvist'")
        section.what = name or "a person"
        if len(name) > LONGEST_NAME:
            section.problem(
                section.spot_of("name"),
                f"a name of {len(name)} signs",
                f"keep it to {LONGEST_NAME}",
            )
        station = (
            section.choice(
                "station", [one.name for one in stations], "the station, as in 'station: A'"
            )
            if stations
            else section.text("station")
        )
        makes = _read_makes(
            section.raw("makes", "what they make, as in 'makes: tin loaf'"),
            section.what,
            breads,
            top.problems,
        )
        needs, asked = _read_needs(section.raw("needs"), top.problems)
        seat = section.whole("seat", 1, 99)
        person = Person(
            name=name,
            station=station,
            seat=str(seat) if seat else "",
            makes=makes,
            needs=needs,
            asked=asked,
            decision=_read_decision(section, breads),
            child=section.yes_no("child"),
            agreed=read_agreements(section),
            emergency=read_emergency(section),
            spot=section.spot,
        )
        section.close()
        people.append(person)
    return tuple(people)


def seated(people: tuple[Person, ...], problems: list[Problem]) -> tuple[Person, ...]:
    """Give each person a seat, ``A1`` (``2-1`` at a station 2): the number written, or the next that is free there.

    No two seats are written alike: a seat names a dough.
    """
    taken: set[str] = set()
    for person in people:
        seat = _seat(person.station, person.seat)
        if person.seat and seat in taken and person.spot:
            problems.append(
                Problem(
                    person.spot,
                    f"seat {seat} is taken twice",
                    "give each person a seat of their own",
                )
            )
        if person.seat:
            taken.add(seat)
    result = []
    for person in people:
        seat = _seat(person.station, person.seat)
        if not person.seat:
            free = (_seat(person.station, str(n)) for n in itertools.count(1))
            seat = next(one for one in free if one not in taken)
            taken.add(seat)
        result.append(dataclasses.replace(person, seat=seat))
    return tuple(result)


def _seat(station: str, number: str) -> str:
    return f"{station}-{number}" if station[-1:].isdigit() else station + number


def _check_people(top: Section, people: tuple[Person, ...], stations: tuple[Station, ...]) -> None:
    if len(people) > MOST_PEOPLE:
        top.problem(
            top.spot_of("people"),
            f"{len(people)} people",
            f"one class has at most {MOST_PEOPLE}; make several",
        )
    seen: dict[str, Spot | None] = {}
    for person in people:
        key = person.name.casefold()
        if key in seen and person.spot and person.name:
            first = seen[key]
            where = f" (first on line {first.line})" if first else ""
            top.problem(
                person.spot,
                f"two people are called '{person.name}'{where}",
                "tell them apart, as in 'Ada Lindqvist (blue apron)'",
            )
        seen.setdefault(key, person.spot)
    for station in stations:
        if not any(person.station == station.name for person in people) and station.spot and people:
            top.problem(
                station.spot,
                f"nobody works at station {station.name}",
                "take the station away, or send somebody there",
            )


def _unless_none(top: Section, name: str) -> Node | None:
    node = top.raw(name)
    return None if isinstance(node, Text) and node.value in ("", "none") else node


def _read_makes(
    node: Node | None, who: str, breads: tuple[KnownBread, ...], problems: list[Problem]
) -> tuple[Making, ...]:
    if node is None:
        return ()
    if (isinstance(node, Items) and not node.items) or (
        isinstance(node, Fields) and not node.fields
    ):
        problems.append(
            Problem(node.spot, f"{who} makes nothing", "write a bread, as in 'makes: tin loaf'")
        )
    usual = {one.name: one.pieces for one in breads}
    makes: list[Making] = []

    def add(name: Text, pieces: int | None) -> None:
        if name.value not in usual:
            problems.append(
                Problem(
                    name.spot,
                    f"there is no bread '{name.value}' in the lesson",
                    nearest(name.value, usual),
                )
            )
        elif any(one.variation == name.value for one in makes):
            problems.append(
                Problem(
                    name.spot,
                    f"{who} makes '{name.value}' twice",
                    "write it once, with the number of pieces",
                )
            )
        else:
            makes.append(
                Making(name.value, pieces if pieces is not None else usual[name.value], name.spot)
            )

    def add_counted(section: Fields) -> None:
        for key, value in section.fields:
            pieces = parsed(value, key.value, partial(_pieces, key.value), problems)
            if pieces is not None:
                add(key, pieces)

    if isinstance(node, Text):
        add(node, None)
    elif isinstance(node, Items):
        for item in node.items:
            if isinstance(item, Text):
                add(item, None)
            elif isinstance(item, Fields):
                add_counted(item)
            else:
                problems.append(
                    Problem(
                        item.spot,
                        "an entry of 'makes' is not a bread",
                        "write its name, or 'makes: {rolls: 4}'",
                    )
                )
    else:
        add_counted(node)
    return tuple(makes)


def _pieces(name: str, text: str) -> int:
    if not re.fullmatch("[1-9][0-9]{0,2}", text) or int(text) > MOST_PIECES:
        raise NotUnderstood(
            f"{name} is '{text}'",
            f"write how many pieces, 1 to {MOST_PIECES}, as in '{name}: 4'",
        )
    return int(text)


def _read_needs(node: Node | None, problems: list[Problem]) -> tuple[tuple[MustNotHave, ...], bool]:
    """The needs and whether the person was asked. ``none`` is an answer; a blank or a missing field is not."""
    if node is None:
        return (), False
    if isinstance(node, Text):
        if node.value in ("", "not asked"):
            return (), False
        if node.value.casefold() == "none":
            return (), True
        return (MustNotHave(node.value, spot=node.spot),), True
    needs: list[MustNotHave] = []
    if isinstance(node, Fields):
        problems.append(
            Problem(
                node.spot,
                "'needs' is a section",
                "write a list, as in 'needs: [sesame, milk]', or 'none'",
            )
        )
        return (), True
    if not node.items:
        return (), False
    for item in node.items:
        if isinstance(item, Text) and item.value and item.value.casefold() != "none":
            needs.append(MustNotHave(item.value, spot=item.spot))
        elif isinstance(item, Fields) and len(item.fields) >= 1:
            section = Section(item, "a need", problems)
            needs.append(
                MustNotHave(
                    section.text("need", "'need: sesame'"),
                    section.text("severity"),
                    section.text("note"),
                    item.spot,
                )
            )
            section.close()
        else:
            problems.append(
                Problem(
                    item.spot,
                    "an entry of 'needs' says nothing",
                    "write what the person must not have, or 'needs: none'",
                )
            )
    return tuple(needs), bool(node.items)  # an empty list is a blank


def _read_decision(section: Section, breads: tuple[KnownBread, ...]) -> Decision | None:
    inner = section.section("decision", "the decision")
    if inner is None:
        return None
    makes = _read_makes(inner.raw("makes"), "the decision", breads, section.problems)
    what = inner.choice("what", DECISIONS, default="makes" if makes else "")
    reason = inner.text("reason", "the reason, which is printed on the needs sheet")
    if what == "makes" and not inner.has("makes"):
        inner.problem(
            inner.spot, "the decision does not say what they make", "write 'makes: rolls'"
        )
    if not what and not inner.has("what"):
        inner.problem(
            inner.spot,
            "the decision decides nothing",
            f"write 'what:' with one of {', '.join(DECISIONS)}",
        )
    inner.close()
    return Decision(what, reason, makes, inner.spot)


def _read_stock(top: Section) -> tuple[Stock, ...]:
    stock = []
    for key, node in top.fields("stock"):
        amount = parsed(
            node, key.value, partial(parse_amount, what=key.value, example="1.5 kg"), top.problems
        )
        if amount is not None:
            stock.append(Stock(key.value, amount, key.spot))
    return tuple(stock)


def _read_confirmed(top: Section) -> tuple[tuple[str, str], ...]:
    """What the tutor takes on their own word, each with a reason of a few words."""
    inner = top.section("confirmed", "'confirmed'")
    if inner is None:
        return ()
    found = []
    for name in CONFIRMED:
        reason = inner.text(name)
        if reason and len(reason) < SHORTEST_REASON:
            inner.problem(
                inner.spot_of(name),
                f"'{name}' is confirmed with '{reason}'",
                "write the reason in a few words; it is printed on your safety sheet",
            )
        elif reason:
            found.append((name, reason))
    inner.close()
    return tuple(found)
