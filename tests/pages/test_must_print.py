"""A template of one's own that drops a caution, an allergen or a safety word stops the pack: each kind of sheet, each thing it owes."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.errors import LessonError
from classpack.pages.must_print import left_out, left_out_of_page
from classpack.pages.pack_templates import pack_templates
from classpack.pages.templates import Templates
from classpack.pages.web_pages import FOLDER, web_pages
from classpack.places import own_folder
from classpack.planning.day.again import Happening
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.planning.plan.plan_rest import plan_rest
from classpack.quantities import show_clock
from classpack.sheets.day.fridge_rows import cold
from classpack.sheets.day.rows import RunRow
from classpack.sheets.home.take_home import take_home_pages
from classpack.sheets.pack import SheetJob, again_jobs, pack_jobs
from classpack.workshop import pack_look, print_pack

TEMPLATES = own_folder("templates")
SATURDAY = "saturday-twelve"
CLASSES = (SATURDAY, "samstag-acht", "sunday-bookings")


@cache
def planned(name: str) -> Planned:
    return plan_class(read_sources(own_folder("lessons") / f"{name}.yaml", TEMPLATES))


def templates_of(plan: ClassPlan, folder: Path = TEMPLATES) -> Templates:
    return pack_templates(folder, plan.day, plan.kitchen, plan.language)


@cache
def jobs_of(name: str) -> tuple[SheetJob, ...]:
    return pack_jobs(planned(name).plan)


def lacking(name: str, template: str, folder: Path = TEMPLATES) -> list[str]:
    """What the sheets of one template lack, word for word."""
    plan = planned(name).plan
    templates = templates_of(plan, folder)
    shown = {"plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen, "paper": "A4"}  # fmt: skip
    found = []
    for job in jobs_of(name):
        if job.template == template:
            sheets = templates.pages(f"pdf/{template}.xml", **shown, **job.values)
            found += left_out(job.values, plan, sheets, templates)
    return [str(one) for one in dict.fromkeys(found)]


def lacking_pages(one: Planned, folder: Path = TEMPLATES) -> list[str]:
    plan = one.plan
    templates, pages = templates_of(plan, folder), take_home_pages(plan)
    shown = {"lesson": plan.lesson, "day": plan.day, "plan": plan}
    web = web_pages(templates, pack_look(one, "A4", folder), pages, shown)
    found = []
    for page in pages:
        found += left_out_of_page(page, web[f"{FOLDER}/{page.file}"].decode("utf-8"), templates)
    return [str(one) for one in dict.fromkeys(found)]


def cut(folder: Path, name: str, old: str, new: str) -> None:
    path = folder / name
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A tutor's own copy of the templates."""
    shutil.copytree(TEMPLATES, tmp_path / "own")
    return tmp_path / "own"


OWING = ("recipe_card", "station_sheet", "run_sheet", "oven_sheet", "tub_labels", "bag_labels", "safety_sheet")  # fmt: skip


@pytest.mark.parametrize("name", CLASSES)
def test_classpacks_own_templates_leave_nothing_out(name: str) -> None:
    for template in OWING:
        assert lacking(name, template) == [], template
    assert lacking_pages(planned(name)) == []


CAUTION = ("the caution '{}' is not printed here", "print every caution of a sheet")
TEXT = ("'{}' is not printed here", "print all safety words of a sheet")
HOT = "Hot oven: dry gloves, close sleeves, hair tied, floor clear."
STEAM = "Stand to the side. Open a little. Let steam out. Then reach."
FIRE = "Fire in the oven: switch off, keep the door shut."


def talk(plan: ClassPlan) -> list[str]:
    """What the safety talk says of cautions; the ovens' stand in frames of their own as well."""
    said = [line.text for line in plan.briefing.lines if line.kind == "caution"]
    return [one for one in said if one not in (HOT, STEAM)]


DROPPED = {
    "run sheet, the ovens' cautions": (
        "run_sheet", "{% for fired in sheet.guards %}", "{% for fired in [] %}", CAUTION, lambda plan: [HOT, STEAM],
    ),
    "run sheet, cautions of the safety talk": (
        "run_sheet", '{%- elif line.kind == "caution" %}{{ line.text }}', '{%- elif line.kind == "caution" %}', TEXT, talk,
    ),
    "run sheet, the whole safety talk": (
        "run_sheet", "sheet.briefing.lines | slice(3)", "[]", TEXT, lambda plan: [
            *talk(plan), plan.kitchen.fire_exit, plan.kitchen.first_aid_box, "999",
            "A burn: cool running tap water at once, 20 minutes. One tap stays free for it.",
            "Allergy or asthma? Keep your medicine on you. Tell me again now if I should know.",
            "Not sure? Stop and ask. Nobody hurries at an oven.",
        ],
    ),
    "run sheet, asking at the door": (
        "run_sheet", "<item>{{ words.run.ask }}</item>", "", TEXT,
        lambda plan: ["Ask everybody again about allergies, one by one, as they come in."],
    ),
    "oven sheets, their cautions": (
        "oven_sheet", "{% for fired in sheet.guards %}", "{% for fired in [] %}", CAUTION, lambda plan: [HOT, STEAM, FIRE],
    ),
    "wall sheet, the day's hazards": (
        "safety_sheet", "{% for met in safety.hazards %}", "{% for met in [] %}", CAUTION,
        lambda plan: [met.fired.caution.short for met in plan.safety.sheet.hazards],
    ),
    "wall sheet, the steps of first aid": (
        "safety_sheet", "{% for step in aid.steps %}", "{% for step in [] %}", TEXT,
        lambda plan: [step for aid in (*plan.safety.sheet.first_aid, *plan.safety.sheet.more_aid) for step in aid.steps],
    ),
    "wall sheet, the way out": (
        "safety_sheet", "{{ fact(words.safety.fire_exit, safety.fire_exit) }}", '{{ fact("", "") }}', TEXT,
        lambda plan: [plan.kitchen.fire_exit],
    ),
    "wall sheet, whom to call besides": (
        "safety_sheet", "also=safety.call.also | join", "also=[''] | join", TEXT, lambda plan: ["112"],
    ),
    "tub labels, what a tub holds": (
        "tub_labels", "{% if label.holds %}", "{% if false %}",
        ("the allergen {} is not named on the tub of {}", "print what each tub holds"),
        lambda plan: [
            ("'wheat'", "'strong white flour'"), ("'wheat'", "'fine semolina'"), ("'milk'", "'mozzarella'"), ("'eggs'", "'egg'"),
        ],
    ),
    "bag labels, the ingredients": (
        "bag_labels", "{% for span in label.holds.spans %}", "{% for span in label.holds.spans[1:] %}",
        ("the ingredients of the {} at {} are not all printed here", "print each label's list of ingredients"),
        lambda plan: [
            (portion.variation, person.person.seat) for person in plan.people for portion in person.portions
        ],
    ),
    "bag labels, the bold allergens": (
        "bag_labels", "<strong>{{ span.text }}</strong>", "{{ span.text }}",
        ("'{}' is not in bold in a list of ingredients here", "make the emphasised parts of a list bold"),
        lambda plan: ["WHEAT", "MILK", "EGGS", "SESAME"],
    ),
    "bag labels, what is copied from the pack": (
        "bag_labels", "label.holds.to_copy | join", "[''] | join", TEXT,
        lambda plan: ["strong white flour"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", DROPPED.values(), ids=DROPPED)
def test_what_a_template_drops_is_told_at_its_sheet(case, own: Path) -> None:
    template, old, new, (wrong, right), things = case
    plan = planned(SATURDAY).plan
    cut(own, f"pdf/{template}.xml", old, new)
    found = {one.partition(": ")[2] for one in lacking(SATURDAY, template, own)}
    given = [one if isinstance(one, tuple) else (one,) for one in things(plan)]
    assert found == {
        f"{wrong.format(*one)}; {right}, as classpack's own template does" for one in given
    }
    for one in lacking(SATURDAY, template, own):
        assert one.startswith(f"own/pdf/{template}.xml:")


def test_until_when_what_is_chilled_is_binned_is_owed_by_the_run_sheet(own: Path) -> None:
    plan = planned(SATURDAY).plan
    cut(own, "pdf/run_sheet.xml", "{% if sheet.cold %}", "{% if false %}")
    clocks = {
        show_clock(at) for one in cold(plan) for at in (one.out_min, one.bin_min) if at is not None
    }
    owed = {one.ingredient for one in cold(plan)} | clocks
    said = lacking(SATURDAY, "run_sheet", own)
    found = {re.search("'(.*)' is not printed here", one)[1] for one in said}
    assert found <= owed  # the minutes at which it comes out also have rows of their own
    assert found & clocks


def poured(row: RunRow) -> RunRow:
    """A load into which the tutor adds steam."""
    lots = []
    for lot in row.lots:
        bake = replace(lot.bread.bake, steam="tutor pours")
        lots.append(replace(lot, bread=replace(lot.bread, bake=bake)))
    return replace(row, lots=tuple(lots))


@pytest.mark.parametrize(
    ("template", "phrase", "said"),
    [
        ("oven_sheet", "{{ words.oven.steam }}", "The tutor adds the steam."),
        ("run_sheet", "{{ words.run.you_pour }}", "You add the steam; students stand back."),
    ],
)
def test_a_load_that_wants_steam_says_who_adds_it(template, phrase, said, own: Path) -> None:
    plan = planned(SATURDAY).plan
    (job,) = (one for one in jobs_of(SATURDAY) if one.template == template)
    every = job.values.get("sheets") or (job.values["sheet"],)
    sheets = tuple(replace(one, rows=tuple(map(poured, one.rows))) for one in every)
    values = {"sheets": sheets} if "sheets" in job.values else {"sheet": sheets[0]}
    shown = {"plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen}
    cut(own, f"pdf/{template}.xml", phrase, "")
    wanted = f"'{said}' is not printed here; print all safety words of a sheet, as classpack's own template does"
    for place, expected in ((TEMPLATES, set()), (own, {wanted})):
        templates = templates_of(plan, place)
        pages = templates.pages(f"pdf/{template}.xml", **shown, **values)
        lost = left_out(values, plan, pages, templates)
        assert {str(one).partition(": ")[2] for one in lost} == expected


PAGES = {
    "the cautions of the steps": (
        "{% for fired in step.cautions %}", "{% for fired in [] %}",
        "the caution 'Stand to the side. Open a little. Let steam out. Then reach.' is not printed here; print every caution of a sheet",
    ),
    "the cautions at the end": (
        "{% for fired in page.after %}", "{% for fired in [] %}",
        "the caution",
    ),
    "what it holds": (
        "{% for span in page.holds.spans %}", "{% for span in [] %}",
        "'Ingredients: ",
    ),
    "the bold allergens": (
        "<strong>{{ span.text }}</strong>", "{{ span.text }}",
        "'WHEAT' is not in bold in a list of ingredients here; make the emphasised parts of a list bold",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", PAGES.values(), ids=PAGES)
def test_what_a_take_home_page_drops_is_told_at_its_template(case, own: Path) -> None:
    old, new, line = case
    cut(own, "html/bread.html", old, new)
    said = lacking_pages(planned(SATURDAY), own)
    assert any(one.startswith(f"own/html/bread.html:1:1: {line}") for one in said), said
    assert all(one.endswith(", as classpack's own template does") for one in said)


def test_the_words_of_styles_and_of_titles_are_not_words_of_a_page() -> None:
    one = planned(SATURDAY)
    page = take_home_pages(one.plan)[0]
    hidden = f"<style>{page.holds.text}</style><script>{page.holds.text}</script>"
    said = [str(one) for one in left_out_of_page(page, hidden, templates_of(one.plan))]
    assert f"'{page.holds.text[:20]}" in " ".join(said)


def test_a_phrase_that_says_nothing_or_is_missing_is_told_in_the_words(own: Path) -> None:
    old = "say_unsure: Not sure? Stop and ask. Nobody hurries at an oven."
    cut(own, "words/en/run.yaml", old, 'say_unsure: ""')
    with pytest.raises(LessonError) as caught:
        lacking(SATURDAY, "run_sheet", own)
    assert str(caught.value) == (
        "own/words/en/run.yaml:1:1: the phrase 'say_unsure' says nothing; write what it says, as in classpack's own words"
    )
    cut(own, "words/en/run.yaml", 'say_unsure: ""\n', "")
    cut(own, "pdf/run_sheet.xml", '{{ words.run["say_" ~ line.kind] }}', "")
    with pytest.raises(LessonError) as caught:
        lacking(SATURDAY, "run_sheet", own)
    assert str(caught.value) == (
        "own/words/en/run.yaml:1:1: own/words/en/run.yaml has no phrase 'say_unsure'; add 'say_unsure: …' to it"
    )


def test_the_pack_stops_with_all_of_them_at_once(own: Path) -> None:
    cut(own, "pdf/tub_labels.xml", "{% if label.holds %}", "{% if false %}")
    cut(own, "pdf/oven_sheet.xml", "{% for fired in sheet.guards %}", "{% for fired in [] %}")
    cut(own, "html/bread.html", "{% for fired in page.after %}", "{% for fired in [] %}")
    with pytest.raises(LessonError) as caught:
        print_pack(planned(SATURDAY), "A4", own)
    files = {one.spot.file for one in caught.value.problems}
    assert files == {"own/pdf/tub_labels.xml", "own/pdf/oven_sheet.xml", "own/html/bread.html"}


def test_the_sheets_of_the_rest_of_a_day_owe_only_what_they_still_say(own: Path) -> None:
    """After the safety talk it is owed no more; the ovens' cautions are as long as there are ovens."""
    first = planned(SATURDAY)
    for now in (first.plan.day.start_min + 60, first.plan.day.end_min - 20):
        rest = plan_rest(first, Happening(now, 10))
        plan = rest.plan
        shown = {"plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen, "paper": "A4"}  # fmt: skip
        templates = templates_of(plan)
        for job in again_jobs(plan):
            template, values = job.template, job.values
            sheets = templates.pages(f"pdf/{template}.xml", **shown, **values)
            assert left_out(values, plan, sheets, templates) == [], (now, template)
