"""The tutor's own answers for the risk assessment."""

import pytest

from classpack.errors import LessonError
from classpack.model.risk import RiskAnswer, Score
from classpack.reading.caution_file import package_catalogue
from classpack.reading.risk_file import read_risks

GOOD = """
scale: 5
risks:
  hot-oven:
    already done: [two pairs of gloves at each oven]
    before: 3 x 4
    after: 1 × 4
    action: Buy a rack
    owner: Perpetua Quennell
    by: 2027-03-01
  knife-carry:
    owner: Wilf
"""


def test_answers_are_read_and_the_rest_stays_blank():
    scale, answers = read_risks(GOOD, "risks.yaml", package_catalogue())
    assert scale == 5
    assert answers["hot-oven"] == RiskAnswer(
        ("two pairs of gloves at each oven",),
        Score(3, 4),
        Score(1, 4),
        "Buy a rack",
        "Perpetua Quennell",
        "2027-03-01",
    )
    assert answers["knife-carry"] == RiskAnswer(owner="Wilf")


def test_what_is_wrong_is_told_all_at_once():
    text = "risks:\n  hot-ovn:\n    before: lots\n    after: 4 x 1\n    by: soon\n    ticked: yes\n"
    with pytest.raises(LessonError) as caught:
        read_risks(text, "risks.yaml", package_catalogue())
    assert [str(one) for one in caught.value.problems] == [
        "risks.yaml:2:3: there is no caution 'hot-ovn'; did you mean 'hot-oven'?",
        "risks.yaml:3:13: 'before' is 'lots'; write likelihood x severity, as in '2 x 3'",
        "risks.yaml:4:12: 'after' is '4 x 1'; each goes from 1 to 3",
        "risks.yaml:5:9: 'by' is 'soon'; write year-month-day, as in '2027-03-13'",
        "risks.yaml:6:5: the risk 'hot-ovn' has no field 'ticked'; choose from: action, after, already done, before, by, owner",
    ]
