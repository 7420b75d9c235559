"""The label sheets a class file describes, and how its slips are told."""

from fractions import Fraction

from classpack.model.class_day import LabelGrid
from classpack.reading.label_grid import read_labels
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import read_nodes


def read(text):
    problems = []
    top = Section(read_nodes(text, "class.yaml"), "the class day", problems)
    return read_labels(top), [str(problem) for problem in sorted(problems)]


def test_a_whole_sheet_is_read():
    grids, problems = read(
        "labels:\n  tubs:\n    columns: 2\n    rows: 7\n    width: 99.1 mm\n    height: 38.1 mm\n    left: 0.47 cm\n"
        "    top: 15.2 mm\n    across: 101.6 mm\n    start: 3\n"
    )
    assert not problems
    assert grids == (
        LabelGrid(
            "tubs", 2, 7, Fraction("99.1"), Fraction("38.1"), Fraction("4.7"), Fraction("15.2"),
            Fraction("101.6"), Fraction("38.1"), 3,
        ),
    )  # fmt: skip


def test_a_part_used_sheet_of_the_usual_size():
    assert read("labels: {name slips: {start: 4}}") == ((LabelGrid("name slips", start=4),), [])


def test_no_labels_are_no_grids():
    assert read("class: Saturday") == ((), [])


def test_slips_are_told_at_their_place():
    _, problems = read(
        "labels:\n  tubs:\n    columns: 2\n    rows: 2\n    width: 99\n    height: 4 in\n    left: 5 mm\n    top: 9 mm\n"
        "    down: 50 mm\n    start: 5\n  jars: {start: 2}\n"
    )
    assert problems == [
        "class.yaml:5:12: 'width' is '99'; write a length with its unit, as in 'width: 38.1 mm'",
        "class.yaml:9:11: 'down' is smaller than the label; it is the distance from one label's edge to the same edge of the next",
        "class.yaml:10:12: the first label is number 5 of 4 on a sheet; count along the rows, from 1 at the top left",
        "class.yaml:11:3: 'labels' has no field 'jars'; choose from: breads, name slips, tubs",
    ]


def test_a_sheet_without_its_margins_is_told():
    _, problems = read("labels: {tubs: {columns: 2, rows: 7, width: 99 mm, height: 38 mm}}")
    assert [problem.split(": ", 1)[1] for problem in problems] == [
        "'tubs' has no 'left'; write 'left: 4.7 mm', the margin to the first label",
        "'tubs' has no 'top'; write 'top: 15.2 mm', the margin to the first label",
    ]
