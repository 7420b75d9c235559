"""The tutor's own answers for the risk assessment: what is done already, scores, who does what by when.

::

    scale: 3
    risks:
      hot-oven:
        already done: [two pairs of gloves at each oven, a line on the floor]
        before: 2 x 3
        after: 1 x 3
        action: Buy a second oven rack
        owner: Perpetua Quennell
        by: 2027-03-01
"""

from __future__ import annotations

import re
from functools import partial

from classpack.errors import LessonError, Problem
from classpack.model.risk import BANDS, RiskAnswer, Score
from classpack.model.safety import Catalogue
from classpack.quantities import NotUnderstood, parse_date
from classpack.reading.sections import Section, nearest
from classpack.reading.yaml_lines import read_nodes

_SCORE = re.compile(r"([1-9])\s*[x×]\s*([1-9])")


def read_risks(text: str, file: str, catalogue: Catalogue) -> tuple[int, dict[str, RiskAnswer]]:
    """The scale (3 or 5) and the answers by caution id.

    Raises:
        LessonError: with every problem in the file, a hazard that is not in the catalogue among them.
    """
    problems: list[Problem] = []
    top = Section(read_nodes(text, file), "the risk assessment", problems)
    scale = int(top.choice("scale", [str(one) for one in BANDS], default="3"))
    answers: dict[str, RiskAnswer] = {}
    known = [one.id for one in catalogue.cautions]
    for key, node in top.fields("risks", "the hazards you answer for, each by its caution's name"):
        section = Section(node, f"the risk '{key.value}'", problems)
        if key.value not in known:
            top.problem(key.spot, f"there is no caution '{key.value}'", nearest(key.value, known))
        by = section.read("by", partial(parse_date, what="'by'"))
        answers[key.value] = RiskAnswer(
            already_done=tuple(one.value for one in section.texts("already done")),
            before=section.read("before", partial(_score, what="before", scale=scale)),
            after=section.read("after", partial(_score, what="after", scale=scale)),
            action=section.text("action"),
            owner=section.text("owner"),
            by=by.isoformat() if by else "",
        )
        section.close()
    top.close()
    if problems:
        raise LessonError(problems)
    return scale, answers


def _score(text: str, what: str, scale: int) -> Score:
    match = _SCORE.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(f"'{what}' is '{text}'", "write likelihood x severity, as in '2 x 3'")
    score = Score(int(match[1]), int(match[2]))
    if max(score.likelihood, score.severity) > scale:
        raise NotUnderstood(f"'{what}' is '{text}'", f"each goes from 1 to {scale}")
    return score
