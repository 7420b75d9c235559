"""What many tests need: a class of one's own in a folder, and the demo packs, printed once."""

from __future__ import annotations

import os
import shutil
import tempfile
from functools import cache
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.workshop import Pack, print_pack
from tests.kept import FOLDER, kept

DEMOS = ("saturday-twelve", "wholemeal-six", "one-to-one", "sunday-bookings")

LESSON = """\
lesson: Two breads
base:
  name: White dough
  formula:
    strong white flour: 100 %
    water: 63 %
    fine salt: 1.8 %
    instant yeast: 0.9 %
    olive oil: 4 %
  dough temperature: 25 C
  left in the bowl: 2 %
  also used:
    strong white flour: 15 g per student for dusting
  kit:
    mixing bowl: 1 per student
  method:
    - mix: "Stir {instant yeast} into {water}. Add {strong white flour} and {fine salt}."
      hands: 4 min
    - knead: "Knead in {olive oil}."
      hands: 8 min
      ready when: smooth
    - bulk proof: 60 min
      window: 45-90 min
      ready when: doubled
      text: Cover it.
variations:
  tin loaf:
    piece: 820 g in a 2500 ml tin
    pieces: 1
    method:
      - shape: Roll it up tightly.
        hands: 5 min
      - final proof: 45 min
        window: 35-65 min
        ready when: a dent fills slowly
        text: Cover.
      - bake: 32 min at 230 C conventional
        range: 220-240 C
        load: Slide the tin in.
        take out: Take the tin out.
        ready when: deep gold
        loss: 12 %
        per shelf: 3
  rolls:
    piece: 85 g
    pieces: 4
    toppings:
      sesame seeds: 5 g per piece
    swaps:
      - {out: sesame seeds, in: poppy seeds}
    method:
      - shape: Round them.
        hands: 6 min
      - top: "Dip in {sesame seeds}."
        hands: 2 min
      - final proof: 40 min
        window: 30-55 min
        ready when: puffy
        text: Cover.
      - bake: 15 min at 220 C conventional
        range: 210-230 C
        load: Slide the tray in.
        take out: Take the tray out.
        ready when: gold
        loss: 12 %
        per shelf: 12
"""

KITCHEN = """\
kitchen: The Net Loft
country: GB
ovens:
  Left: {kind: conventional, shelves: 3, hottest: 250 C}
scales: [4 x 1 g steps to 5 kg, 0.1 g steps to 200 g]
tins: {long tin: 12 of 2500 ml}
"""

DAY = """\
class: Saturday
lesson: lesson.yaml
kitchen: kitchen.yaml
date: 2027-03-13
start: 10:00
end: 15:00
region: UK
pace: 1.5
mixing: each person
stations: {A: window bench}
people:
  - {name: Ada Lindqvist, station: A, makes: [tin loaf, rolls], needs: none}
  - {name: Bo Tammaru, station: A, makes: rolls, needs: none}
"""


@pytest.fixture
def class_folder(tmp_path: Path) -> Path:
    """A folder with a small class: ``day.yaml``, ``lesson.yaml`` and ``kitchen.yaml``, to be changed by the test."""
    for name, text in (("lesson", LESSON), ("kitchen", KITCHEN), ("day", DAY)):
        (tmp_path / f"{name}.yaml").write_text(text, "utf-8")
    return tmp_path


@cache
def planned_demo(name: str) -> Planned:
    """A demo class, planned."""
    return plan_class(read_sources(own_folder("lessons") / f"{name}.yaml", own_folder("templates")))


def printed_demo(name: str, paper: str = "A4", style: str = "normal") -> Pack:
    """A demo class, printed: once in a run for each paper and style."""
    return kept(
        f"{name}, {paper}, {style}",
        lambda: print_pack(planned_demo(name), paper, own_folder("templates"), style),
    )


@pytest.fixture(scope="session", params=DEMOS)
def demo(request: pytest.FixtureRequest) -> tuple[Planned, Pack]:
    """Every demo class, planned and printed on A4."""
    return planned_demo(request.param), printed_demo(request.param)


PRINTING = (
    "test_pack test_languages test_read_back test_looks_and_previews test_web_pages test_people test_people_refused "
    "test_day_sheets test_tubs_and_stations test_safety_papers test_again test_must_print test_bad_input test_dough_sums_sheet"
)
"""Files that print whole packs, or run the commands that do."""
LONG = (
    "test_day_advice test_day_instances test_day_planner test_day_referee test_replan test_packs test_random_classes "
    "test_unused test_pack_folder test_clock_change test_needs_laws"
)
"""Files that think for long: searches, referees, laws over many classes, kills."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what a quick run leaves out: ``pack`` prints whole packs, ``long`` thinks for long."""
    for item in items:
        file = item.path.stem
        if file in LONG.split():
            item.add_marker("long")
        elif {"demo", "full_pack"} & set(
            getattr(item, "fixturenames", ())
        ) or file in PRINTING.split():
            item.add_marker("pack")


def pytest_configure(config: pytest.Config) -> None:
    """A folder for what is made once in a run."""
    if not hasattr(config, "workerinput"):
        os.environ[FOLDER] = tempfile.mkdtemp(prefix="classpack-tests-")


def pytest_unconfigure(config: pytest.Config) -> None:
    """The folder goes when the run's first process ends."""
    if not hasattr(config, "workerinput"):
        shutil.rmtree(os.environ.pop(FOLDER, ""), ignore_errors=True)
