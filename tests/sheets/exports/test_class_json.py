"""class.json keeps to its published form, for every class that ships."""

import json
from pathlib import Path

import jsonschema
import pytest

from classpack.class_files import read_sources
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import plan_class
from classpack.sheets.exports.class_json import VERSION, class_json

ROOT = Path(__file__).parents[3]
SCHEMA = json.loads((ROOT / "tests/data/class.schema.json").read_text("utf-8"))
CLASSES = sorted(
    path.stem
    for path in (ROOT / "lessons").glob("*.yaml")
    if path.read_text("utf-8").startswith("class:")
)


@pytest.fixture(scope="module", params=CLASSES)
def plan(request: pytest.FixtureRequest) -> ClassPlan:
    path = ROOT / "lessons" / f"{request.param}.yaml"
    return plan_class(read_sources(path, ROOT / "templates")).plan


def test_the_schema_itself_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["properties"]["schema"]["const"] == VERSION == SCHEMA["$id"]


def test_a_class_keeps_to_the_schema(plan: ClassPlan) -> None:
    jsonschema.validate(json.loads(class_json(plan)), SCHEMA, jsonschema.Draft202012Validator)


def test_sums_hold_in_the_file_too(plan: ClassPlan) -> None:
    told = json.loads(class_json(plan))
    needs = {
        line["ingredient"]: sum(part["grams"] for part in line["from"])
        for line in told["shopping"]["lines"]
    }
    for turn in told["weigh_out"]["turns"]:
        for one in turn["ingredients"]:
            tubs = sum(tub["grams"] for tub in one["tubs"])
            assert tubs == pytest.approx(one["grams"])
            assert tubs + one["allowance_g"] == pytest.approx(needs[one["ingredient"]])
    costs = told["costs"]
    parts = [bread["together"] for bread in costs["breads"]]
    parts += [costs["demonstration"], costs["spare"], costs["allowance"]]
    assert sum(parts) == pytest.approx(costs["used"], abs=1e-3)


def test_nothing_says_what_anybody_must_not_eat(plan: ClassPlan) -> None:
    text = class_json(plan).casefold()
    for word in ("allergy", "allergic", "coeliac", "intolerant", "vegan", "pregnant"):
        assert f'"{word}' not in text
