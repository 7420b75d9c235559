"""Laws of whole packs, over classes nobody thought of: read from files, planned, printed and read back."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import defaultdict
from fractions import Fraction
from pathlib import Path

import page as page_validation
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from classpack.class_files import read_sources
from classpack.errors import LessonError
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.workshop import Pack, print_pack
from tests.conftest import DAY, KITCHEN, LESSON

EXAMPLES = 3  # each takes some seconds
OVEN_CAUTIONS = (
    "Hot oven: dry gloves, close sleeves, hair tied, floor clear.",
    "Stand to the side. Open a little. Let steam out. Then reach.",
)


@st.composite
def days(draw: st.DrawFn) -> str:
    """A class day of up to six people: who makes how many of what, who mixes, which yeast, how long the class is."""
    stations = draw(st.integers(1, 3))
    people = ""
    for number in range(draw(st.integers(stations, 6))):
        loaves, rolls = draw(st.sampled_from([(1, 0), (0, 4), (1, 4), (2, 3), (0, 7)]))
        makes = ", ".join(
            f"{name}: {count}" for name, count in (("tin loaf", loaves), ("rolls", rolls)) if count
        )
        need = draw(st.sampled_from(["none", "none", "none", "sesame", "milk", "vegan"]))
        people += (
            f"  - {{name: Person {number}, station: S{number % stations}, "
            f"makes: {{{makes}}}, needs: {need}}}\n"
        )
    more = {
        "end": draw(st.sampled_from(["13:30", "15:00", "18:30"])),
        "mixing": draw(st.sampled_from(["each person", "each station", "one dough for the class"])),
        "region": draw(st.sampled_from(["UK", "EU", "US", "AU"])),
        "pace": draw(st.sampled_from(["1", "1.5", "2.3"])),
        "yeast": draw(st.sampled_from(["instant", "fresh", "active dry"])),
        "demonstration": draw(st.sampled_from(["none", "{tin loaf: 1}", "{rolls: 5}"])),
        "spare": draw(st.sampled_from(["none", "{rolls: 4}"])),
        "allowance": draw(st.sampled_from(["0 %", "3 %"])),
        "paper": draw(st.sampled_from(["A4", "Letter", "A5"])),
    }
    head = DAY[: DAY.index("stations:")]
    kept = [line for line in head.splitlines() if line.split(":")[0] not in more]
    benches = ", ".join(f"S{number}: bench {number}" for number in range(stations))
    lines = [*kept, *(f"{key}: {value}" for key, value in more.items())]
    return "\n".join(lines) + f"\nstations: {{{benches}}}\npeople:\n{people}"


def made(folder: Path, day: str) -> tuple[Planned, Pack]:
    for name, text in (("lesson", LESSON), ("kitchen", KITCHEN), ("day", day)):
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    planned = plan_class(read_sources(folder / "day.yaml", own_folder("templates")))
    return planned, print_pack(planned, planned.plan.day.paper, own_folder("templates"))


def table(pack: Pack, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(pack.files[name].decode("utf-8-sig"))))


def words(pdf: bytes) -> str:
    return " ".join(" ".join(p.extract_text() for p in PdfReader(io.BytesIO(pdf)).pages).split())


def grams_by_ingredient(pack: Pack) -> dict[str, Fraction]:
    total: dict[str, Fraction] = defaultdict(Fraction)
    for row in table(pack, "weigh-out.csv"):
        total[row["ingredient"]] += Fraction(row["grams"])
    return total


def assert_nothing_is_lost(pack: Pack) -> None:
    """What the tubs hold is what is divided from them, and what is bought."""
    for row in table(pack, "weigh-out.csv"):
        if not row["divides as"] or row["count"]:
            continue
        shares = []
        for one in row["divides as"].split("; "):
            who, _, said = one.rpartition(": ")  # "A1 A2: 450 g for dough + 20 g for dusting"
            grams = sum(Fraction(part) for part in re.findall(r"([\d.]+) g\b", said))
            shares.append(grams * max(1, len(who.split())))
        assert sum(shares) == Fraction(row["grams"]), row
    weighed = grams_by_ingredient(pack)
    allowance = Fraction(103, 100)
    needs = {row["item"]: row for row in table(pack, "shopping-list.csv") if row["item"]}
    for name, grams in weighed.items():
        if name == "water":
            continue
        need = Fraction(needs[name]["need"])
        assert grams <= need <= grams * allowance + 1, (name, grams, need)


@settings(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(day=days())
def test_a_class_nobody_thought_of_prints_a_sound_pack_or_says_why_not(
    tmp_path_factory: pytest.TempPathFactory, day: str
) -> None:
    folder = tmp_path_factory.mktemp("class")
    try:
        planned, pack = made(folder, day)
    except LessonError as error:
        for problem in error.problems:
            assert re.fullmatch(r".+\.yaml:\d+:\d+: .+; .+", str(problem))
        return
    assert_nothing_is_lost(pack)
    seats = [row.person.seat for row in planned.plan.people if row.portions]
    stated = {one.seat: one.needs for one in planned.plan.day.people}
    assert not any(stated.values()), "nobody's needs are within reach of a sheet"
    for seat in seats:
        card = words(pack.files[f"cards/{seat}.pdf"])
        for caution in OVEN_CAUTIONS:
            assert caution in card, (seat, caution)
        assert "Wheat" in card
    for person in json.loads(pack.files["class.json"])["people"]:
        assert person["seat"] in {one.person.seat for one in planned.plan.people}
    report = page_validation.validate_pdf_bytes(
        pack.files["pack.pdf"], profile=page_validation.ValidationProfile.PDF_UA_1
    )
    assert report.is_compliant
    assert print_pack(planned, planned.plan.day.paper, own_folder("templates")).files == pack.files
