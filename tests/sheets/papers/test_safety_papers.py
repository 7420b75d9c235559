"""What fired and what is printed where, read back from the printed sheets of every demo class."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader

from classpack.class_files import read_sources
from classpack.errors import LessonError
from classpack.model.class_plan import PersonPlan
from classpack.model.risk import RiskAnswer
from classpack.model.safety import RESERVED, FiredCaution
from classpack.places import own_folder
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.planning.safety.frames import MOST_FRAMES
from classpack.planning.safety.safety_sheet import MOST_HAZARDS
from classpack.sheets.cards.recipe_card import recipe_card
from classpack.sheets.papers.risk_form import risk_form
from classpack.sheets.stations.station_sheet import station_sheet
from classpack.workshop import Pack, print_pack
from tests.conftest import planned_demo
from tests.kept import page_texts

Demo = tuple[Planned, Pack]
TEMPLATES = own_folder("templates")
LOCAL_RULES = "General guidance for this class. It does not replace your own risk assessment, the maker’s instructions,"
QUALIFIED = "For medical, electrical or gas matters ask a qualified person."


def fired_for(plan: ClassPlan, person: PersonPlan) -> Iterator[FiredCaution]:
    """All that fires in what one person makes, at the bench and at the end of the card."""
    steps, home = dict(plan.fired.fired), dict(plan.fired.home)
    for portion in person.portions:
        yield from (one for group in steps[portion.variation] for one in group)
        yield from home[portion.variation]


def folded(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


def words(pdf: bytes) -> str:
    return folded(" ".join(page_texts(pdf)))


def pages(pdf: bytes) -> int:
    return len(PdfReader(io.BytesIO(pdf)).pages)


def bakers(planned: Planned) -> list[PersonPlan]:
    return [one for one in planned.plan.people if one.portions]


def made(folder: Path) -> Demo:
    planned = plan_class(read_sources(folder / "day.yaml", TEMPLATES))
    return planned, print_pack(planned, "A4", TEMPLATES)


def problems(folder: Path) -> list[str]:
    with pytest.raises(LessonError) as caught:
        plan_class(read_sources(folder / "day.yaml", TEMPLATES))
    return [str(one).replace(f"{folder}/", "") for one in caught.value.problems]


def added(folder: Path, name: str, text: str) -> None:
    path = folder / f"{name}.yaml"
    path.write_text(path.read_text("utf-8") + text, "utf-8")


# ---------------------------------------------------------------- cards and stations


def test_everybody_who_bakes_reads_both_oven_cautions_before_each_loading_and_taking_out(
    demo: Demo,
) -> None:
    planned, pack = demo
    lines = [
        folded(one.fired.caution.short)
        for one in planned.plan.safety.met
        if one.fired.id in RESERVED
    ]
    assert len(lines) == 2
    for person in bakers(planned):
        text = words(pack.files[f"cards/{person.person.seat}.pdf"])
        card = recipe_card(planned.plan, person)
        start = openings = 0
        frames = int(bool(card.after))
        for part in card.parts:
            for step in part.steps:
                frames += bool(step.cautions)
                if step.stage not in ("load", "take out"):
                    continue
                openings += 1
                at = [text.index(line, start) for line in lines]
                head = text.index(f" {step.number} ", max(at))
                assert head > max(at), (person.person.seat, step.number)
                start = head
        assert openings >= 2 * len(person.portions)
        assert frames <= MOST_FRAMES


def lines_of(plan: ClassPlan, person: PersonPlan, name: str) -> set[str]:
    """What a caution may say for a person: its line, or on their card and station the one with today's names."""
    station = next(one for one in plan.stations if one.station.name == person.person.station)
    told = (*recipe_card(plan, person).every_caution, *station_sheet(plan, station).cautions)
    caution = next(one.fired.caution for one in plan.safety.met if one.fired.id == name)
    return {caution.short, *(one.line for one in told if one.id == name)}


def egg_at(planned: Planned, station: str) -> bool:
    """Is egg weighed out for a station, for a topping or a dough?"""
    plan = planned.plan
    lines = next(one.weigh_out for one in plan.stations if one.station.name == station)
    return any(plan.larder[line.ingredient].kind == "egg" for line in lines)


def test_nothing_that_fired_vanishes_from_card_station_and_tutors_sheet(demo: Demo) -> None:
    planned, pack = demo
    plan = planned.plan
    tutor = words(pack.files["tutor-safety.pdf"])
    wall = words(pack.files["safety-sheet.pdf"])
    every = set()
    for person in bakers(planned):
        card = words(pack.files[f"cards/{person.person.seat}.pdf"])
        station = words(pack.files[f"stations/{person.person.station}.pdf"])
        for one in fired_for(plan, person):
            every.add(one.id)
            where = tutor if one.caution.audience == "tutor" else card + station
            where += wall if one.caution.place == "wall" else ""
            if one.id == "raw-egg" and not egg_at(planned, person.person.station):
                continue  # everybody there swapped the egg: what guards others does not hang there
            assert any(folded(line) in where for line in lines_of(plan, person, one.id)), (
                person.person.seat,
                one.id,
            )
    stations = " ".join(words(pack.files[f"stations/{one.name}.pdf"]) for one in plan.day.stations)
    cards = " ".join(words(pack.files[f"cards/{one.person.seat}.pdf"]) for one in bakers(planned))
    for caution in plan.whole_class:
        every.add(caution.id)
        shown = cards + stations + tutor + wall
        named = (caution.caution.named, caution.caution.named_last.partition("{names}")[2][:13])
        lines = [caution.caution.short, *(one.removeprefix("{names}") for one in named if one)]
        assert any(folded(line) in shown for line in lines), caution.id
    assert every == {one.fired.id for one in plan.safety.met}


def test_a_station_reads_its_cautions_with_their_words_most_severe_first(demo: Demo) -> None:
    planned, pack = demo
    for station in planned.plan.stations:
        text = words(pack.files[f"stations/{station.station.name}.pdf"])
        start = text.index("All day at this station")
        for one in station_sheet(planned.plan, station).cautions:
            start = text.index(f"{one.severity} {folded(one.line)}", start)


def test_every_oven_opening_at_a_station_stands_below_both_oven_cautions(demo: Demo) -> None:
    plan = demo[0].plan
    for station in plan.stations:
        shown: set[str] = set()
        for one in station_sheet(plan, station).clock:
            if one.entry.kind in ("load", "take out"):
                here = {caution.id for caution in (*one.cautions, *one.signs)}
                assert set(RESERVED) <= here
            assert not shown & {caution.id for caution in one.cautions}, "in full once"
            assert {caution.id for caution in one.signs} <= shown
            shown |= {caution.id for caution in one.cautions}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_station_hangs_on_four_sheets_and_the_wall_on_both_sides_of_one(paper: str) -> None:
    """One more for a station whose bread needs the oven three times: its cautions stand before every opening."""
    for name in ("saturday-twelve", "wholemeal-six", "one-to-one"):
        planned = planned_demo(name)
        pack = print_pack(planned, paper, TEMPLATES)
        often = {
            f"stations/{station}.pdf"
            for station, entries in planned.plan.clocks.stations
            if sum(one.kind == "load" for one in entries) > 2
        }
        assert pages(pack.files["safety-sheet.pdf"]) == 2
        for file, data in pack.files.items():
            if file.startswith("stations/"):
                most = (4 if paper == "A4" else 5) + (file in often)
                assert pages(data) <= most, (name, file)


def test_cold_toppings_carry_their_clock_and_hands_are_washed(demo: Demo) -> None:
    planned, pack = demo
    plan = planned.plan
    for hygiene in plan.safety.stations:
        if hygiene.station == "tutor":
            continue  # the demonstration hangs nowhere; the tutor's own sheets tell it
        text = words(pack.files[f"stations/{hygiene.station}.pdf"])
        for item in hygiene.cold:
            out, last = (plan.timed.clock(m) for m in (item.out_min, item.bin_min))
            assert last - out == 120  # two hours in all: FSANZ 2-hour / 4-hour rule, first limit
            if not item.spoils:  # butter, herbs: better cold, but nobody bins them
                assert (
                    f"{item.ingredient.capitalize()}: out of the fridge at {out // 60:02d}:{out % 60:02d}."
                    in text
                )
                continue
            by = "What is left goes" if item.dough_only else "In the oven or"
            assert (
                f"{item.ingredient.capitalize()}: out of the fridge at {out // 60}:{out % 60:02d}. {by} in the bin by "
                f"{last // 60}:{last % 60:02d}; never back to the fridge." in text
            )
        for wash in hygiene.washing:
            why = wash.why.replace("baked bread is touched", "you touch baked bread")
            assert f"Wash your hands {why}." in text


# ---------------------------------------------------------------- wall, risk assessment, tutor


def test_the_wall_has_the_number_the_hazards_and_the_steps_of_both_first_aids(demo: Demo) -> None:
    planned, pack = demo
    sheet = planned.plan.safety.sheet
    text = words(pack.files["safety-sheet.pdf"])
    assert sheet.call.call == {"GB": "999", "IE": "112"}[planned.plan.kitchen.country]
    for said in (sheet.call.call, sheet.address, sheet.first_aider, sheet.fire_exit):
        assert said
        assert said in text
    assert "Cool running tap water at once, for 20 minutes." in text  # ANZCOR Guideline 9.1.3
    assert "No better after 5 minutes" in text  # Anaphylaxis UK, What to do in an emergency
    for aid in (*sheet.first_aid, *sheet.more_aid):
        for step in aid.steps:
            assert folded(step) in text
    assert len(sheet.hazards) == MOST_HAZARDS
    for met in sheet.hazards:
        start = planned.plan.day.start_min + met.minute
        when = f"from {start // 60:02d}:{start % 60:02d}" if met.minute else "all day"
        assert f"{met.fired.severity} {when} {folded(met.fired.caution.short)}" in text


FIRST_AID_PT = {"A4": 14, "Letter": 13}
"""What the front's first aid is printed in, at least."""


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["saturday-twelve", "samstag-acht"])
def test_first_aid_is_the_walls_largest_text_and_is_read_from_a_metre_and_a_half(
    name: str, paper: str
) -> None:
    """Sight of 1.0 reads letters 5 minutes of arc high (ISO 8596, Visual acuity testing, standard optotype; from memory); the
    wall's capitals are at least a third higher, which sight of 0.75 reads. The face's capitals are 0.66 of its size (its own OS/2 table)."""
    planned = planned_demo(name)
    data = print_pack(planned, paper, TEMPLATES).files["safety-sheet.pdf"]
    front = PdfReader(io.BytesIO(data)).pages[0]
    printed: dict[float, int] = {}

    def seen(text: str, _cm: object, matrix: list[float], _font: object, size: float) -> None:
        points = round(size * (abs(matrix[0]) or 1), 1)
        printed[points] = printed.get(points, 0) + len(text.strip())

    front.extract_text(visitor_text=seen)
    most_of_it = max(printed, key=lambda points: printed[points])
    assert most_of_it >= FIRST_AID_PT[paper]
    assert (
        printed[most_of_it]
        >= sum(len(s) for aid in planned.plan.safety.sheet.first_aid for s in aid.steps) * 0.9
    )
    larger = sum(count for points, count in printed.items() if points > most_of_it)
    assert larger < 200  # the number to call and the heads alone
    high_mm = most_of_it * 0.66 / 72 * 25.4
    assert math.degrees(math.atan(high_mm / 1500)) * 60 >= 5 / 0.75


def test_first_aid_says_what_the_facts_and_reviews_ask(demo: Demo) -> None:
    """Burns: NHS practice page (joint, face, hands, feet; round a limb; smoke), Royal Hospital for Children, Glasgow (smoke).
    Asthma: NHS, Moreton doctors page. Oil: BGN Report 3/1999; DGUV as TÜV Thüringen reports it: no blanket over burning oil."""
    text = words(demo[1].files["safety-sheet.pdf"])
    for said in (
        "face, neck, hand, foot, joint, genitals; all round a limb; electric, chemical; smoke breathed in",
        "Breathing hard: sit up, legs out.",
        "one puff every 30 to 60 seconds, up to 10 puffs (a child under 6: 6)",
        "do not lift the pad to look",
        "slide a lid over, leave it covered until cold",
    ):
        assert said in text
    assert "blanket" not in text
    packing = words(demo[1].files["kit-list.pdf"])
    assert "gel" not in packing
    for brought in ("blue waterproof plasters", "core thermometer", "wipes for every probe"):
        assert brought in packing


def test_the_probe_is_wiped_and_goes_through_the_base_wherever_a_core_is_measured(
    demo: Demo,
) -> None:
    planned, pack = demo
    said = "Wipe the probe first; push it through the base into the middle."
    for person in bakers(planned):
        if any(planned.plan.lesson.variation(one.variation).bake.core_c for one in person.portions):
            assert said in words(pack.files[f"cards/{person.person.seat}.pdf"]), person.person.seat
    assert said in words(pack.files["oven-sheets.pdf"])
    assert "one for dough and another for bread, or a wipe in between" in words(
        pack.files["kit-list.pdf"]
    )


def test_a_kitchen_that_says_nothing_gets_blanks_and_remarks(class_folder: Path) -> None:
    path = class_folder / "kitchen.yaml"
    path.write_text(path.read_text("utf-8").replace("country: GB", "country: Chile"), "utf-8")
    planned, pack = made(class_folder)
    text = words(pack.files["safety-sheet.pdf"])
    assert not any(number in text for number in ("999", "112", "911", "000"))
    assert "and say the address below" in text
    assert [str(one) for one in planned.plan.remarks if one.about == "safety"] == [
        "remark (safety): No emergency number is known for 'Chile': the safety sheet has a blank; fill it in, or write "
        "'emergency number' in the kitchen file.",
        "remark (safety): The safety sheet has a blank for the address an ambulance is sent to: write 'address' in the "
        "kitchen file.",
        "remark (safety): The safety sheet has a blank for who gives first aid: write 'first-aider' in the kitchen file.",
        "remark (safety): The safety sheet has a blank for where the first-aid box is: write 'first-aid box' in the kitchen "
        "file.",
        "remark (safety): The safety sheet has a blank for the way out and where to meet: write 'fire exit' in the kitchen "
        "file.",
        "remark (safety): Write 'sinks' in the kitchen file: a burn takes one cold tap for 20 minutes.",
    ]


def test_the_risk_assessment_has_every_hazard_and_is_never_scored_by_itself(demo: Demo) -> None:
    planned, pack = demo
    text = words(pack.files["risk-assessment.pdf"])
    rows = planned.plan.safety.risk
    harmful = {one.fired.id for one in planned.plan.safety.met if one.fired.severity != "NOTICE"}
    assert {one.id for row in rows for one in row.fired} == harmful
    assert all(row.answer == RiskAnswer() for row in rows)
    assert "1–2 low, 3–4 medium, 6–9 high" in text
    assert not any(mark in text for mark in "☑☒✓✔")
    # HSE, Risk assessment: a brief guide (08/14): identify, who and how, what is done, how likely and how bad, what else by whom and when
    for head in (
        "1 What hurts",
        "2 Who, and how",
        "3 What this pack already plans",
        "4 How likely × how bad",
        "5 What else",
        "Who",
        "By when",
    ):
        assert head in text
    assert pages(pack.files["risk-assessment.pdf"]) == 3
    assert 10 <= len(rows) <= 15


def test_the_risk_assessment_says_only_what_this_class_plans(demo: Demo) -> None:
    planned, pack = demo
    plan = planned.plan
    text = words(pack.files["risk-assessment.pdf"])
    groups = {row.group for row in plan.safety.risk}
    loads = sum(one.kind == "load" for _, entries in plan.clocks.ovens for one in entries)
    assert f"{loads} load" in text
    poured = any(bread.bake.steam == "tutor pours" for bread in plan.made)
    assert ("Only you add steam." in text) is poured
    assert ("unplugged" in text) is bool(plan.kitchen.mixers and "machines" in groups)
    chilled = sum(one.spoils for one in plan.safety.fridge)
    assert (f"{chilled} tub" in text) is ("spoils" in groups and bool(chilled))
    assert ("Dough is mixed by hand." in text) is (plan.lesson.base.mixed_by == "hand")
    assert ("Everybody is asked again at the door." in text) is plan.day.ask_at_the_door
    met = {folded(one.fired.caution.short) for one in plan.safety.met}
    for form_row in risk_form(plan).rows:
        for line in (*form_row.shared, *form_row.yours):
            assert folded(line) in met
            assert folded(line) in text


def test_the_tutors_own_risk_file_fills_the_form(class_folder: Path) -> None:
    added(class_folder, "day", "risk assessment: risks.yaml\n")
    (class_folder / "risks.yaml").write_text(
        "risks:\n  hot-oven:\n    already done: [a line on the floor]\n    before: 2 x 3\n    after: 1 x 3\n"
        "    action: Buy a second rack\n    owner: Bo Tammaru\n    by: 2027-03-01\n"
        "  mixer-hands:\n    before: 1 x 3\n",
        "utf-8",
    )
    planned, pack = made(class_folder)
    text = words(pack.files["risk-assessment.pdf"])
    for said in ("In place: A line on the floor.", "2 × 3 = 6 high", "1 × 3 = 3 medium"):
        assert said in text
    assert "Buy a second rack" in text
    assert "Bo Tammaru" in text
    assert (
        "remark (safety): The risk assessment answers 'mixer-hands', which does not arise in this class."
        in [str(one) for one in planned.plan.remarks]
    )


def test_the_tutors_sheet_has_two_sides_and_only_what_is_theirs(demo: Demo) -> None:
    planned, pack = demo
    text = words(pack.files["tutor-safety.pdf"])
    assert pages(pack.files["tutor-safety.pdf"]) == 2
    for caution in planned.plan.on_paper.tutor:
        assert (
            f"{caution.severity} {folded(caution.caution.short)} {folded(caution.caution.full)}"
            in text
        ), caution.id
    assert "'classpack make … --kitchen' prints them to confirm with the venue" in text
    for elsewhere in ("Where published rules differ", "What this rests on", "Burn or scald"):
        assert elsewhere not in text


def test_once_for_a_kitchen_come_its_survey_what_to_confirm_where_rules_differ_and_the_sources() -> (
    None
):
    planned = planned_demo("one-to-one")
    plan = planned.plan
    ordinary = print_pack(planned, "A4", TEMPLATES)
    pack = print_pack(planned, "A4", TEMPLATES, kitchen=True)
    assert {name for name in pack.files if name not in ordinary.files} == {
        "kitchen/kitchen-survey.pdf",
        "kitchen/venue-and-rules.pdf",
    }
    assert pack.files["pack.pdf"] == ordinary.files["pack.pdf"]
    text = words(pack.files["kitchen/venue-and-rules.pdf"])
    assert "Confirm with your venue" in text
    for one in plan.safety.tutor.confirm:
        assert folded(one.short) in text, one.id
    for rule in plan.safety.tutor.settled:
        assert folded(rule.published) in text
        assert folded(rule.rule) in text
    assert {"blanket", "inhaler", "burn"} <= {rule.topic for rule in plan.safety.tutor.settled}
    for source in plan.safety.sources:
        assert folded(source.title) in text, source.id
    survey = words(pack.files["kitchen/kitchen-survey.pdf"])
    keys = (
        "kind:",
        "shelves:",
        "hottest:",
        "offset:",
        "clearance:",
        "circuit:",
        "scales:",
        "steps to",
        "ml",
        "fire exit:",
    )
    assert [key for key in keys if key not in survey] == []


# ---------------------------------------------------------------- moved and turned off


def test_a_moved_caution_stands_at_the_station_and_a_turned_off_one_with_its_reason(
    class_folder: Path,
) -> None:
    added(
        class_folder,
        "lesson",
        "cautions on the station sheet: [raw-dough]\n"
        "cautions turned off:\n  flour-tip: All flour is weighed before the class in the store room.\n",
    )
    planned, pack = made(class_folder)
    moved = "Do not taste raw dough, batter, starter or flour."
    off = "Scoop low, pour slowly, fold empty bags. Do not shake them."
    tutor = words(pack.files["tutor-safety.pdf"])
    station = words(pack.files["stations/A.pdf"])
    assert moved in station
    assert off not in station
    for seat in ("A1", "A2"):
        card = words(pack.files[f"cards/{seat}.pdf"])
        assert moved not in card
        assert off not in card
    assert f"On the station sheets instead of the cards • {moved}" in tutor
    assert f"“{off}” Your reason: All flour is weighed before the class in the store room." in tutor
    assert "flour-tip" not in {one.fired.id for one in planned.plan.safety.met}
    assert "flour-tip" in {one.id for row in planned.plan.safety.risk for one in row.fired}
    assert off not in words(pack.files["risk-assessment.pdf"])
    assert off not in {line.text for line in planned.plan.briefing.lines}


def test_what_may_not_be_moved_or_turned_off_is_told_at_its_line(class_folder: Path) -> None:
    start = len((class_folder / "lesson.yaml").read_text("utf-8").splitlines())
    added(
        class_folder,
        "lesson",
        "cautions on the station sheet: [hot-oven, raw-duogh]\n"
        "cautions turned off:\n  toppings-cold: They are eaten at once anyway.\n  flour-dust: no\n",
    )
    assert problems(class_folder) == [
        f"lesson.yaml:{start + 4}:15: 'flour-dust' is turned off without a reason; write the reason; it is printed",
    ]
    path = class_folder / "lesson.yaml"
    path.write_text(path.read_text("utf-8").replace("  flour-dust: no\n", ""), "utf-8")
    assert problems(class_folder) == [
        f"lesson.yaml:{start + 1}:33: 'hot-oven' cannot be moved off the card; it holds its place there; take it off the list",
        f"lesson.yaml:{start + 1}:43: there is no caution 'raw-duogh'; did you mean 'raw-dough'?",
        f"lesson.yaml:{start + 3}:3: 'toppings-cold' cannot be turned off; it guards ovens, toppings, allergies or lives; take it "
        "off the list",
    ]


def test_a_tutors_own_caution_is_printed_before_its_step(class_folder: Path) -> None:
    added(class_folder, "day", "cautions: own.yaml\n")
    (class_folder / "own.yaml").write_text(
        "cautions:\n  low-beam:\n    hazard: people\n    word: CAUTION\n    words: [roll it up]\n    short: Mind the beam above the bench.\n",
        "utf-8",
    )
    pack = made(class_folder)[1]
    assert "CAUTION Mind the beam above the bench." in words(pack.files["cards/A1.pdf"])


# ---------------------------------------------------------------- how many, and what is confidential


def crowd(folder: Path, count: int) -> None:
    path = folder / "day.yaml"
    head = path.read_text("utf-8").split("people:")[0]
    head = head.replace("stations: {A: window bench}", "stations: {A: window bench}\nassistants: 0")
    people = "".join(
        f"  - {{name: Guest {n}, station: A, makes: {{rolls: 1}}, needs: none}}\n"
        for n in range(1, count + 1)
    )
    path.write_text(f"{head}people:\n{people}", "utf-8")


def test_more_than_twelve_learners_are_remarked_on(class_folder: Path) -> None:
    crowd(class_folder, 13)
    planned = plan_class(read_sources(class_folder / "day.yaml", TEMPLATES))
    assert [one.text[:55] for one in planned.plan.remarks if one.about == "group size"] == [
        "13 learners for one tutor: more than 12 to one; twelve "
    ]


def test_more_than_twenty_learners_need_the_tutors_word_and_the_reason_is_printed(
    class_folder: Path,
) -> None:
    # Schools (Scotland) Code 1956 and Northern Ireland 1973, Regulation 15: at most 20 in a practical class
    crowd(class_folder, 21)
    assert problems(class_folder) == [
        "day.yaml:1:1: 21 learners for 1 adult: more than 20 to one; split the class, name the 'assistants', or write why it is "
        "safe, as in 'confirmed: {group size: \"...\"}'",
    ]
    added(class_folder, "day", "confirmed: {group size: yes}\n")
    lines = (class_folder / "day.yaml").read_text("utf-8").splitlines()
    assert problems(class_folder) == [
        f"day.yaml:{len(lines)}:25: 'group size' is confirmed with 'yes'; write the reason in a few words; it is printed on your "
        "safety sheet",
    ]
    reason = "Two colleagues help at the ovens."
    path = class_folder / "day.yaml"
    path.write_text(path.read_text("utf-8").replace("size: yes", f"size: {reason}"), "utf-8")
    pack = made(class_folder)[1]
    assert f"You confirmed the group size: {reason}" in words(pack.files["tutor-safety.pdf"])


def test_an_accident_form_with_its_last_day_lies_apart_from_the_pack(demo: Demo) -> None:
    planned, pack = demo
    text = words(pack.files["confidential/accident-form.pdf"])
    until = planned.plan.safety.accident_until
    assert (until.year, until.day) == (planned.plan.day.date.year + 3, 1)
    assert f"{until:%B} {until.year}" in text
    assert "destroy it today" in text
    assert "Accident form" not in words(pack.files["pack.pdf"])
    assert all(name.startswith("confidential/") for name in pack.files if "accident" in name)


def test_shared_paper_is_the_same_whatever_anybody_said_of_their_health(class_folder: Path) -> None:
    before = made(class_folder)[1].files
    path = class_folder / "day.yaml"
    path.write_text(
        path.read_text("utf-8").replace("rolls, needs: none", "rolls, needs: [pregnant]"), "utf-8"
    )
    after = made(class_folder)[1].files
    shared = {name for name in after if not name.startswith("confidential/")}
    assert {name: after[name] for name in shared} == {name: before[name] for name in shared}
    more = words(after["confidential/more-care.pdf"])
    assert "WARNING Do not taste raw dough, batter, starter or flour." in more
    assert "confidential/more-care.pdf" not in before


INSTRUCT_NOBODY = (
    "register",
    "shopping-list",
    "costs",
    "nutrition",
    "pack",
    "labels/tub-labels",
    "labels/bag-labels",
)
"""Sheets that say who, what and how much, and tell nobody to do anything."""


def test_every_sheet_that_instructs_defers_to_local_rules_once_on_each_paper(demo: Demo) -> None:
    """On the front; the back of what is printed on both sides leaves its room to the content."""
    for name, data in demo[1].files.items():
        if not name.endswith(".pdf") or name.startswith(INSTRUCT_NOBODY):
            continue
        texts = [folded(page.extract_text()) for page in PdfReader(io.BytesIO(data)).pages]
        if name == "labels/name-slips.pdf":
            assert "The venue’s rules come first." in texts[0]
            continue
        both_sides = name.startswith(("cards/", "stations/", "safety", "tutor-safety", "risk"))
        for number, text in enumerate(texts):
            assert (LOCAL_RULES in text) is not (both_sides and number % 2 == 1), (name, number)
            assert (QUALIFIED in text) is (LOCAL_RULES in text), name
