"""YAML without its traps: everything stays the text that was typed, and what could trick a reader is refused at its place."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import LessonError
from classpack.reading.yaml_lines import (
    DEEPEST,
    LONGEST_FILE,
    LONGEST_TEXT,
    MOST_VALUES,
    Fields,
    Items,
    Node,
    Text,
    read_nodes,
)


def problems(text: str) -> str:
    with pytest.raises(LessonError) as caught:
        read_nodes(text, "a.yaml")
    return str(caught.value)


def plain(node: Node):
    if isinstance(node, Text):
        return node.value
    if isinstance(node, Items):
        return [plain(item) for item in node.items]
    return {key.value: plain(value) for key, value in node.fields}


@pytest.mark.parametrize(
    "typed",
    ["no", "yes", "on", "off", "true", "~", "null", "1:30", "0230", "0x1F", "1_000", "1e3", "2027-03-13", ".5", "NaN", "<<", "=", "62.50"],
)  # fmt: skip
def test_a_value_stays_what_was_typed(typed):
    # YAML 1.1 (2005), type repository: these resolve to booleans, base-60, octal, dates and merge keys; here to nothing
    assert plain(read_nodes(f"a: {typed}\n", "a.yaml")) == {"a": typed}
    assert plain(read_nodes(f"{typed}: a\n", "a.yaml")) == {typed: "a"}


def test_every_value_knows_its_line_and_column():
    node = read_nodes("a: b\nc:\n  - d\n  - {e: f}\n", "a.yaml")
    assert isinstance(node, Fields)
    items = node.get("c")
    assert isinstance(items, Items)
    assert [str(item.spot) for item in items.items] == ["a.yaml:3:5", "a.yaml:4:5"]
    assert plain(node) == {"a": "b", "c": ["d", {"e": "f"}]}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: 1\nb: 2\na: 3\n", "a.yaml:3:1: 'a' is given twice, first on line 1; keep one of them"),
        ("a: &x 1\n", "a.yaml:1:4: '&x' is an anchor; write the value out, or put a text that starts with '&' in quotes"),
        ("a: *x\n", "a.yaml:1:4: '*x' refers to another place; write the value out, or put a text that starts with '*' in quotes"),
        ("a: !!python/object/apply:os.system [ls]\n", "a.yaml:1:4: the tag 'tag:yaml.org,2002:python/object/apply:os.system' is not used here; take it away, or put a text that starts with '!' in quotes"),
        ("a: !mine b\n", "a.yaml:1:4: the tag '!mine' is not used here; take it away, or put a text that starts with '!' in quotes"),
        ("a: b\n---\nc: d\n", "a.yaml:3:1: a second document starts here; keep one document a file"),
        ("a: b\n...\nc: d\n", "a.yaml:3:1: a second document starts here; keep one document a file; take '...' away"),
        ("a:\n\t- b\n", "a.yaml:2:1: there is a tab in the indentation; indent with spaces"),
        ("\ta: b\n", "a.yaml:1:1: there is a tab in the indentation; indent with spaces"),
        ("a: b: c\n", "a.yaml:1:5: there is a second ': ' in this line, or the line is indented wrongly; put a text that has ': ' in it in quotes, and line up the keys"),
        ("a: {water} into a bowl\n", "a.yaml:1:4: a text that starts with a brace is not in quotes; put all of it in quotes"),
        ("- mix: {water} into a bowl\n", "a.yaml:1:8: a text that starts with a brace is not in quotes; put all of it in quotes"),
        ("a: @b\n", "a.yaml:1:4: this sign cannot start a value; put the whole text in quotes"),
        ("a: %b\n", "a.yaml:1:4: this sign cannot start a value; put the whole text in quotes"),
        ("a: - b\n", "a.yaml:1:4: a list may not start here; write each entry on a line of its own after '- '"),
        ("- a\nb: c\n", "a.yaml:2:1: this line does not fit the list above it; start each entry with '- ' in the same column"),
        ("a: \"b\n", "a.yaml:1:6: a quote is opened and not closed; close the quote"),
        ("a: \"b\" c\n", "a.yaml:1:8: this line does not fit the lines above it; line up the keys, and close every quote"),
        ("a: [b, c\n", "a.yaml:1:9: a bracket or brace is opened and not closed; close it, and put a text that has brackets or braces in quotes"),
        ("a: \"C:\\q\"\n", "a.yaml:1:7: a backslash in double quotes has a meaning of its own; write two of them, or use single quotes"),
        ("a: b\n%c\n", "a.yaml:2:3: a line starts with '%'; put the text in quotes, or write it after its key"),
        ("? [a]\n: b\n", "a.yaml:1:3: a key is a list or a section; a key must be plain text; put braces in quotes"),
        ("", "a.yaml:1:1: the file is empty; see the example lessons"),
        ("# only a remark\n", "a.yaml:1:1: the file is empty; see the example lessons"),
        ("é: ü\x07\n", "a.yaml:1:5: U+0007 stands here, a sign that no lesson needs; take it away"),
        ("a: b\n\x00", "a.yaml:2:1: U+0000 stands here, a sign that no lesson needs; take it away"),
        ("a: b\u2028c: d\n", "a.yaml:1:5: U+2028 stands here, a sign that no lesson needs; take it away"),
        ("a: \ud800\n", "a.yaml:1:4: U+D800 stands here, a sign that no lesson needs; take it away"),
        ("a: x\u202ey\n", "a.yaml:1:4: the text holds U+202E, a sign that cannot be seen or printed; type the text again without it"),
        ("a: \"\\u200f\"\n", "a.yaml:1:4: the text holds U+200F, a sign that cannot be seen or printed; type the text again without it"),
        ("a\u200b: b\n", "a.yaml:1:1: the text holds U+200B, a sign that cannot be seen or printed; type the text again without it"),
        ("a: \"\\0\"\n", "a.yaml:1:4: the text holds U+0000, a sign that cannot be seen or printed; type the text again without it"),
        ("[" * 5000, "a.yaml:1:1001: nested more than 24 deep; keep it flat"),
        ("[{a: " * 20, "a.yaml:1:62: nested more than 24 deep; keep it flat"),
        ("- a\n" * (MOST_VALUES + 1), f"a.yaml:{MOST_VALUES}:3: the file holds more than {MOST_VALUES} values; keep lessons short"),
        ("a" * (LONGEST_FILE + 1), f"a.yaml:1:1: the file has more than {LONGEST_FILE} signs; keep lessons short"),
        ("a: " + "b" * (LONGEST_TEXT + 1), f"a.yaml:1:4: a text of {LONGEST_TEXT + 1} signs; keep it under {LONGEST_TEXT}"),
    ],
)  # fmt: skip
def test_what_could_trick_a_reader_is_refused_at_its_place(text, message):
    assert problems(text) == message


def test_a_bomb_of_references_is_refused_at_its_first_anchor():
    bomb = "a: &a [x, x]\n" + "".join(
        f"{b}: &{b} [*{a}, *{a}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    assert problems(bomb).startswith("a.yaml:1:4: '&a' is an anchor;")


def test_slips_of_one_file_are_told_together():
    assert problems("a: 1\na: 2\nb: 1\nb: 2\n") == (
        "a.yaml:2:1: 'a' is given twice, first on line 1; keep one of them\n"
        "a.yaml:4:1: 'b' is given twice, first on line 3; keep one of them"
    )


def test_windows_line_ends_keep_their_line_numbers():
    assert problems("a: 1\r\nb: 2\r\na: 3\r\n") == (
        "a.yaml:3:1: 'a' is given twice, first on line 1; keep one of them"
    )


def test_names_typed_in_two_ways_are_one_name():
    # Unicode Standard Annex #15: normal form C
    assert plain(read_nodes("a: Z\u030cofia\n", "a.yaml")) == {"a": "\u017dofia"}
    assert "given twice" in problems("\u017dofia: a\nZ\u030cofia: b\n")


def test_spaces_and_folded_lines_become_single_spaces():
    assert plain(read_nodes("a: b   c\n  d\ne: |\n  f\n  g\n", "a.yaml")) == {
        "a": "b c d",
        "e": "f g",
    }


@settings(max_examples=120, deadline=None)
@given(st.text(alphabet="ab:-[]{}&*!|>'\"%@#\n\t ?,\\\u00e9\u202e", max_size=80))
def test_any_text_is_read_or_refused_inside_the_file(text):
    try:
        read_nodes(text, "a.yaml")
    except LessonError as error:
        for problem in error.problems:
            assert problem.spot.file == "a.yaml"
            assert 1 <= problem.spot.line <= max(1, len(text.splitlines()))
            assert problem.spot.column >= 1


@settings(max_examples=60, deadline=None)
@given(st.integers(1, DEEPEST - 1))
def test_depth_up_to_the_limit_is_read(depth):
    assert read_nodes("[" * depth + "a" + "]" * depth, "a.yaml")
