"""What fires at a step, and why. Expectations are a safety officer's, written by hand in tests/data."""

from pathlib import Path

import pytest
import yaml

from classpack.model.method import Step
from classpack.model.safety import PlaceFacts
from classpack.planning.caution_checks import step_problems
from classpack.planning.cautions import fire
from classpack.reading.caution_file import package_catalogue

SENTENCES = yaml.safe_load(
    (Path(__file__).parent.parent / "data" / "caution-sentences.yaml").read_text("utf-8")
)
CATALOGUE = package_catalogue()


def ids(step: Step, facts: PlaceFacts = PlaceFacts()) -> set[str]:
    return {one.id for one in fire(step, facts, CATALOGUE)}


@pytest.mark.parametrize("case", SENTENCES, ids=lambda case: case["text"][:60])
def test_a_sentence_fires_what_a_safety_officer_expects(case):
    step = Step(case.get("stage", "rest"), (case["text"],), steam=case.get("steam", "none"))
    fired = fire(step, PlaceFacts(), CATALOGUE)
    found = {one.id for one in fired}
    assert set(case["must"]) <= found
    assert not set(case.get("must not", [])) & found
    problems = step_problems(step, fired, PlaceFacts(), CATALOGUE)
    assert bool(problems) == bool(case.get("never printed", False)), problems


def test_every_expected_caution_exists():
    named = {one for case in SENTENCES for one in [*case["must"], *case.get("must not", [])]}
    assert {one for one in named if CATALOGUE.caution(one) is None} == set()
