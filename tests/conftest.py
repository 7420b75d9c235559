"""What many tests need: a class of one's own in a folder, and the demo packs, printed once."""

from __future__ import annotations

from pathlib import Path

import pytest

from classpack.places import own_folder
from classpack.workshop import Pack, Planned, plan_class, print_pack, read_sources

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


def planned_demo(name: str) -> Planned:
    """A demo class, planned."""
    return plan_class(read_sources(own_folder("lessons") / f"{name}.yaml", own_folder("templates")))


@pytest.fixture(scope="session", params=DEMOS)
def demo(request: pytest.FixtureRequest) -> tuple[Planned, Pack]:
    """Every demo class, planned and printed on A4."""
    planned = planned_demo(request.param)
    return planned, print_pack(planned, "A4", own_folder("templates"))
