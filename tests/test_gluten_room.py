"""A class for somebody with coeliac disease, from YAML to paper: every sheet says the same, and none makes a claim."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.places import own_folder
from classpack.planning.plan.plan_class import plan_class
from classpack.workshop import Pack, print_pack
from tests.conftest import DAY, KITCHEN, LESSON
from tests.test_people import in_one_line, shared

ROOM = "without gluten:\n" + "".join(
    f"  {question}: {{answer: yes, by: Ines Marlow, on: 2027-03-12}}\n"
    for question in ("no loose flour", "cleaned", "own tools", "packs read", "nothing brought in", "told in writing")
)  # fmt: skip
WHOLE = ROOM + "  bread tested: no\n"
RICE = LESSON.replace("strong white flour", "white rice flour").replace(
    "sesame seeds", "pumpkin seeds"
)
CLAIMS = re.compile(r"gluten[- ]?free|wheat[- ]?free|without gluten|suitable for coeliac|free from", re.I)  # fmt: skip


def made(folder: Path, day: str, lesson: str = RICE) -> Pack:
    for name, text in (("lesson", lesson), ("kitchen", KITCHEN), ("day", day)):
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    planned = plan_class(read_sources(folder / "day.yaml", own_folder("templates")))
    return print_pack(planned, "A4", own_folder("templates"))


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Pack:
    day = DAY.replace("makes: rolls, needs: none", "makes: rolls, needs: coeliac disease")
    return made(tmp_path_factory.mktemp("rice"), day + WHOLE)


def test_no_sheet_claims_anything_and_none_speaks_of_wheat_in_the_air(pack: Pack):
    for name, data in pack.files.items():
        if name.endswith(".pdf"):
            text = in_one_line(data)
            assert not CLAIMS.search(text), name
            assert "Wheat flour is in the air" not in text, name
            assert not re.search(r"contains?:? \.", text, re.I), name


def test_letter_and_needs_sheet_say_the_answers_with_their_dates(pack: Pack):
    for name in ("before-you-come.pdf", "confidential/needs-sheet.pdf"):
        text = in_one_line(pack.files[name])
        assert (
            "Bench, oven, fan and racks cleaned: yes (Ines Marlow, Friday 12 March 2027)." in text
        )
        assert (
            "No laboratory tested this bread. We list what is in it and promise nothing beyond."
            in text
        )
    needs = in_one_line(pack.files["confidential/needs-sheet.pdf"])
    assert "Eats nothing made in a room with gluten" not in needs
    assert "no allergen of the list among the ingredients: checked." in needs
    assert "Own set for this class" in in_one_line(pack.files["kit-list.pdf"])


def test_the_answers_are_of_the_room_so_shared_paper_is_the_same_whoever_comes(tmp_path: Path):
    lupin = DAY.replace("makes: rolls, needs: none", "makes: rolls, needs: asthma")
    packs = [made(tmp_path, day + WHOLE) for day in (DAY, lupin)]
    assert shared(packs[0]) == shared(packs[1])


def test_a_tested_bread_prints_the_tutors_own_sentence_and_whose_claim_it_is(tmp_path: Path):
    tested = (
        "  bread tested: {answer: yes, laboratory: Field Lane, found: 4 mg/kg, on: 2027-03-01, says: Tested and gluten-free, "
        "signed: Ines Marlow}\n"
    )
    text = in_one_line(made(tmp_path, DAY + ROOM + tested).files["before-you-come.pdf"])
    assert (
        "Tested and gluten-free. Claim made by the tutor, Ines Marlow, on a test by Field Lane of Monday 1 March 2027."
        in text
    )


@pytest.mark.parametrize(
    "needs",
    [
        "needs: soya, agreed: {soya: {on: 2027-03-01, reason: told what the loft stores}}",
        "needs: [no soya by choice]",
    ],
)
def test_traces_that_are_settled_print_on_the_label_of_whoever_settled_them(
    tmp_path: Path, needs: str
):
    day = DAY.replace("makes: rolls, needs: none", f"makes: rolls, {needs}")
    day += "may contain: [soya]\ndiets: {no soya by choice: [soya]}\n"
    pack = made(tmp_path, day, LESSON)
    assert "May contain: SOYA." in in_one_line(pack.files["labels/bag-labels.pdf"])
