"""Risk assessment rows, and how many look after how many."""

import pytest

from classpack.model.method import Step
from classpack.model.risk import BANDS, RiskAnswer, Score, band
from classpack.model.safety import PlaceFacts, severity_rank
from classpack.planning.safety.cautions import fire
from classpack.planning.safety.risk import GROUPS, group_of, risk_rows, supervision, unknown_answers
from classpack.reading.caution_file import package_catalogue

CATALOGUE = package_catalogue()
FIRED = fire(Step("take out", ("Lift it out.",)), PlaceFacts(), CATALOGUE)


def test_a_row_is_blank_until_the_tutor_fills_it():
    rows = risk_rows(FIRED, {})
    assert [row.group for row in rows] == [
        name for name in GROUPS if name in {r.group for r in rows}
    ]
    harmful = {one.id for one in FIRED if one.severity != "NOTICE"}
    assert {one.id for row in rows for one in row.fired} == harmful
    for row in rows:
        assert row.answer == RiskAnswer()
        ranks = [severity_rank(one.severity) for one in row.fired]
        assert ranks == sorted(ranks, reverse=True)


def test_every_caution_of_the_catalogue_has_a_row_and_the_form_about_fifteen():
    assert {group_of(one) for one in CATALOGUE.cautions} == set(GROUPS)
    assert len(GROUPS) == 15


def test_a_row_takes_the_tutors_own_answers():
    answer = RiskAnswer(
        ("two pairs of gloves",), Score(2, 3), Score(1, 3), "Buy a rack", "P. Q.", "2027-03-01"
    )
    worse = RiskAnswer(before=Score(3, 3), action="Tape a line")
    answers = {"hot-oven": answer, "oven-door-steam": worse, "hot-oil": answer}
    rows = {row.group: row for row in risk_rows(FIRED, answers)}
    assert rows["oven"].answer == RiskAnswer(
        ("two pairs of gloves",),
        Score(3, 3),
        Score(1, 3),
        "Buy a rack; Tape a line",
        "P. Q.",
        "2027-03-01",
    )
    assert rows["hot things"].answer == RiskAnswer()
    (remark,) = unknown_answers(answers, rows.values())
    assert (
        remark.text == "The risk assessment answers 'hot-oil', which does not arise in this class."
    )


@pytest.mark.parametrize("scale", [3, 5])
def test_every_score_has_one_band(scale):
    """3 by 3: this project's bands. 5 by 5: 1-4 low, 5-9 medium, 10-15 high, 16-25 stop (one published set; they differ)."""
    for likelihood in range(1, scale + 1):
        for severity in range(1, scale + 1):
            score = Score(likelihood, severity)
            assert band(score, scale) in {name for _, _, name in BANDS[scale]}
    assert band(Score(4, 4), 5) == "stop"
    assert band(Score(3, 3), 3) == "high"


@pytest.mark.parametrize(
    ("learners", "assistants", "start", "confirm"),
    [
        (12, 0, [], False),
        (13, 0, ["13 learners for one tutor: more than 12 to one"], False),
        (20, 0, ["20 learners for one tutor: more than 12 to one"], False),
        (21, 0, ["21 learners for one tutor: more than 20 to one"], True),
        (24, 1, [], False),
        (60, 2, ["60 learners for 3 adults: more than 12 to one"], False),
    ],
)
def test_remarks_on_the_size_of_the_group(learners, assistants, start, confirm):
    """Twenty: Schools (Scotland) Code 1956; Northern Ireland 1973, Regulation 15. Twelve: this project's choice."""
    found = supervision(learners, assistants, children=False)
    assert [
        one.text[: len(begin)] for one, begin in zip(found.remarks, start, strict=True)
    ] == start
    assert found.must_confirm is confirm


def test_under_16s_need_a_second_adult_and_smaller_groups():
    texts = [one.text for one in supervision(10, 0, children=True).remarks]
    assert texts[0].startswith("Under-16s take part and there is one adult")
    assert texts[1].endswith("so 10 need 2 adults.")
    assert supervision(8, 1, children=True).remarks == ()


def test_more_hot_jobs_than_adults_is_told():
    (remark,) = supervision(8, 0, False, hot_jobs_at_once=2).remarks
    assert (
        remark.text
        == "2 hot jobs run at once and there is one adult: let one wait, or name who watches which."
    )
    assert supervision(8, 1, False, hot_jobs_at_once=2).remarks == ()
