"""How problems are said: one line each, in file order, each once."""

from classpack.errors import LessonError, Problem, Remark, Spot


def test_problems_are_told_in_file_order_and_once():
    late, early = (
        Problem(Spot("a.yaml", line, 3), "water is 'lots'", "write a percentage")
        for line in (14, 9)
    )
    error = LessonError([late, early, late])
    assert error.problems == (early, late)
    assert str(error) == (
        "a.yaml:9:3: water is 'lots'; write a percentage\n"
        "a.yaml:14:3: water is 'lots'; write a percentage"
    )


def test_lines_are_ordered_as_numbers():
    spots = [Spot("a.yaml", line, column) for line, column in ((10, 1), (9, 20), (9, 3))]
    assert [str(spot) for spot in sorted(spots)] == ["a.yaml:9:3", "a.yaml:9:20", "a.yaml:10:1"]


def test_a_page_pasted_into_a_number_is_not_quoted_whole():
    said = str(Problem(Spot("a.yaml", 1), f"water is '{'x' * 4000}'", "write a percentage"))
    assert len(said) < 400
    assert said.endswith(" [...]; write a percentage")


def test_a_remark_says_what_it_is_about():
    assert (
        str(Remark("day", "The class ends after midnight."))
        == "remark (day): The class ends after midnight."
    )
