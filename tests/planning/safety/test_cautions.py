"""What fires at a step, and why. Expectations are a safety officer's, written by hand in tests/data."""

from fractions import Fraction
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import Spot
from classpack.model.larder import Ingredient
from classpack.model.lesson import Use
from classpack.model.method import HANDS_STAGES, STEAM_METHODS, WAIT_STAGES, Placeholder, Step
from classpack.model.safety import HEALTH_GROUPS, HOT_HARMS, RESERVED, PlaceFacts
from classpack.planning.safety.cautions import (
    HOT_STAGES,
    OVEN_STAGES,
    STAGE_TRIGGERS,
    STEAM_TRIGGERS,
    fire,
    fire_class,
    fire_home,
    fire_method,
    ingredient_triggers,
    larder_triggers,
    triggers_on_top,
)
from classpack.planning.safety.checks import catalogue_problems, pours_into_oven, step_problems
from classpack.planning.safety.misspelt import misspelt
from classpack.planning.safety.places import place
from classpack.quantities import Amount, OvenHeat
from classpack.reading.caution_file import package_catalogue
from classpack.reading.larder_file import package_larder

SENTENCES = yaml.safe_load(
    (Path(__file__).parents[2] / "data" / "caution-sentences.yaml").read_text("utf-8")
)
CATALOGUE = package_catalogue()
PLAIN = PlaceFacts(ingredients=larder_triggers(package_larder()))
LOUD = {*HOT_HARMS, "blade", "electric", "moving parts", "chemicals"}
SPOT = Spot("lessons/x.yaml", 12, 5)


def step(stage: str, text: str = "", **rest: object) -> Step:
    return Step(stage, (text,) if text else (), spot=SPOT, **rest)  # type: ignore[arg-type]


def ids(one: Step, facts: PlaceFacts = PLAIN) -> set[str]:
    return {fired.id for fired in fire(one, facts, CATALOGUE)}


# ---------------------------------------------------------------- sentences


@pytest.mark.parametrize("case", SENTENCES, ids=lambda case: case["text"][:60])
def test_a_sentence_fires_what_a_safety_officer_expects(case):
    one = step(case.get("stage", "rest"), case["text"], steam=case.get("steam", "none"))
    fired = fire(one, PLAIN, CATALOGUE)
    found = {caution.id for caution in fired}
    assert set(case["must"]) <= found
    assert not set(case.get("must not", [])) & found
    problems = [str(p) for p in step_problems(one, fired, PLAIN, CATALOGUE)]
    if "asks" in case:
        (problem,) = problems
        assert f"nothing guards against {case['asks']}" in problem
        quiet = step(one.stage, case["text"], does=("nothing",))
        assert not step_problems(quiet, fire(quiet, PLAIN, CATALOGUE), PLAIN, CATALOGUE)
    else:
        assert bool(problems) == bool(case.get("never printed", False)), problems
    if case.get("quiet"):
        hurt = {one for one in fired if set(one.caution.guards) & LOUD}
        assert not hurt
    where = place((one,), (fired,), CATALOGUE)
    at_station = {caution.id for caution in where.station}
    told = at_station if case.get("where") == "station" else where.on_card | at_station
    tutors = {caution.id for caution in where.tutor}
    assert set(case["must"]) <= told | tutors | {caution.id for caution in where.wall}
    if "where" in case:
        assert set(case["must"]) <= {"card": where.on_card, "station": at_station}[case["where"]]
    slips = [meant for _, meant in misspelt([case["text"]], CATALOGUE)[0]]
    assert set(case.get("slip", [])) <= set(slips)
    assert slips == [] or "slip" in case, slips


def test_there_are_a_hundred_and_twenty_and_more():
    assert len(SENTENCES) >= 120
    assert len({case["text"] for case in SENTENCES}) == len(SENTENCES)
    named = {one for case in SENTENCES for one in [*case["must"], *case.get("must not", [])]}
    assert {one for one in named if CATALOGUE.caution(one) is None} == set()


# ---------------------------------------------------------------- stages


def test_every_stage_has_triggers_or_fires_by_what_it_holds():
    by_content = {"top", "fill", "glaze", "rest", "bulk proof", "bench rest", "final proof"}
    assert set(STAGE_TRIGGERS) | by_content == {*HANDS_STAGES, *WAIT_STAGES}
    known = {trigger.id for trigger in CATALOGUE.triggers}
    fired_in_code = {one for group in STAGE_TRIGGERS.values() for one in group}
    assert fired_in_code | set(STEAM_TRIGGERS.values()) <= known
    assert set(STEAM_TRIGGERS) == set(STEAM_METHODS) - {"none"}


@given(
    stage=st.sampled_from(OVEN_STAGES),
    words=st.lists(
        st.sampled_from(
            [
                "put",
                "the",
                "bread",
                "in",
                "oven",
                "off",
                "hot",
                "cold",
                "bake",
                "nothing",
                "baker's",
                "percentage",
                "unheated",
            ]
        )
    ),
    steam=st.sampled_from(STEAM_METHODS),
)
@settings(max_examples=60, deadline=None)
def test_at_the_oven_no_wording_removes_the_oven_cautions(stage, words, steam):
    """Any words, any words fewer: while the stage is a bake, a load or a take-out, both stay."""
    assert set(RESERVED) <= ids(step(stage, " ".join(words), steam=steam))


@pytest.mark.parametrize("case", [c for c in SENTENCES if c.get("stage") in HOT_STAGES])
def test_taking_any_word_out_of_a_hot_step_keeps_what_its_stage_fires(case):
    always = ids(step(case["stage"], steam=case.get("steam", "none")))
    words = case["text"].split()
    for gone in range(len(words)):
        text = " ".join(words[:gone] + words[gone + 1 :])
        assert always <= ids(step(case["stage"], text, steam=case.get("steam", "none")))
    if case["stage"] in OVEN_STAGES:
        assert set(RESERVED) <= always


def test_a_hot_stage_in_another_language_fires_all_the_same():
    assert {"hot-oil", "oil-fire"} <= ids(step("fry", "Ausbacken, bis sie goldgelb sind."))
    assert {"boiling-water", "boil-dough"} <= ids(step("boil", "Cuire une minute."))
    assert {"bread-knife"} <= ids(step("cut", "Aufschneiden."))


def test_a_step_with_an_oven_temperature_fires_the_oven_whatever_its_stage():
    assert "hot-oven" in ids(step("rest", "Warten.", heat=OvenHeat(Fraction(230))))


# ---------------------------------------------------------------- why


def test_a_fired_caution_says_every_reason():
    one = step("load", "Slide it into the oven.", does=("hot stone",))
    why = {fired.id: [str(reason) for reason in fired.why] for fired in fire(one, PLAIN, CATALOGUE)}
    assert why["hot-oven"] == ["stage 'load'", "word 'into the oven'"]
    assert why["hot-stone"] == ["stated 'hot stone'"]


def test_what_the_lesson_states_fires_by_plain_names_and_other_names():
    for said, expected in (
        ("boiling water", "boiling-water"),
        ("hot oil", "hot-oil"),
        ("knife", "bread-knife"),
        ("Frying", "oil-fire"),
        ("lifts heavy", "lift-sack"),
        ("griddle", "hot-pan"),
    ):
        assert expected in ids(step("rest", "Weiter.", does=(said,))), said


def test_the_ingredient_fires_by_what_the_larder_states_of_it():
    egg = Step("glaze", ("Brush with ", Placeholder("egg"), "."))
    fired = {one.id: one for one in fire(egg, PLAIN, CATALOGUE)}
    assert {"raw-egg", "allergen-milk-egg-other", "toppings-cold"} <= set(fired)
    assert [str(one) for one in fired["raw-egg"].why] == ["ingredient 'egg'"]


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("strong white flour", {"wheat-rye-barley"}),
        ("mozzarella", {"perishable", "milk-egg-other"}),
        ("ham", {"perishable"}),
        ("egg", {"egg", "milk-egg-other", "perishable-on-top"}),
        ("double cream", {"milk-egg-other", "perishable-on-top"}),
        ("butter", {"milk-egg-other"}),
        ("fresh yeast", set()),
        ("rosemary", set()),
        ("lard", set()),
    ],
)
def test_what_an_ingredient_of_the_larder_carries(name, expected):
    assert ingredient_triggers(package_larder()[name]) == expected


def test_something_chilled_of_an_unknown_aisle_counts_as_perishable():
    filling = Ingredient("bean filling", "other", "my shelf", frozenset(), storage="chilled")
    assert ingredient_triggers(filling) == {"perishable"}


# ---------------------------------------------------------------- place and people


def test_the_kitchen_fires_what_it_holds():
    gas = PlaceFacts(gas=True, ingredients=PLAIN.ingredients)
    assert {"gas-light", "gas-smell"} <= {one.id for one in fire_class(gas, CATALOGUE)}
    assert not {"gas-light", "gas-smell"} & {one.id for one in fire_class(PLAIN, CATALOGUE)}
    assert "flour-flame" in ids(step("shape", "Dust the bench."), gas)
    assert "flour-flame" not in ids(step("shape", "Dust the bench."))


def test_glass_is_warned_of_where_water_is_poured_and_a_glass_door_is_a_second_reason():
    """Where dough is misted on the bench there is no steam tray to speak of."""
    poured = step("load", "Slide them in.", steam="tutor pours")
    fired = {one.id: one for one in fire(poured, PlaceFacts(glass_door=True), CATALOGUE)}
    assert "kitchen 'glass oven door'" in map(str, fired["steam-glass"].why)
    misted = step("load", "Slide them in.", steam="misted dough")
    assert "steam-glass" not in ids(misted, PlaceFacts(glass_door=True))
    assert "mist-on-bench" in ids(misted)


def test_a_mixer_fires_at_mixing_without_a_word_about_it():
    by_mixer = PlaceFacts(mixed_by="mixer", floor_mixer=True)
    fired = {one.id: one.severity for one in fire(step("mix", "Mix."), by_mixer, CATALOGUE)}
    assert fired["mixer-hands"] == "DANGER"  # a floor-standing mixer
    assert "mixer-hands" not in ids(step("mix", "Mix."))


def test_children_raise_the_word_and_add_the_tutors_own_cautions():
    young = PlaceFacts(children=True)
    fired = {one.id: one.severity for one in fire(step("take out"), young, CATALOGUE)}
    assert fired["hot-oven"] == "WARNING"
    assert "children-and-heat" in fired
    assert "children-and-heat" not in ids(step("take out"), PlaceFacts())


def test_health_cannot_reach_what_fires_on_shared_paper():
    """No field of PlaceFacts is health data, and no group it raises for is."""
    everything = PlaceFacts(True, True, True, True, "mixer", True)
    assert not everything.groups & set(HEALTH_GROUPS)
    raw = CATALOGUE.caution("raw-dough")
    assert raw is not None
    assert raw.severity_for(everything.groups | {"pregnant"}) == "WARNING"
    assert raw.severity_for(frozenset()) == "CAUTION"


# ---------------------------------------------------------------- a whole method


def use(name: str, purpose: str, grams: int = 20, per: str = "piece") -> Use:
    return Use(name, Amount(Fraction(grams), "g"), per, purpose)


def test_a_topping_fires_where_it_is_put_on_although_no_step_names_it():
    method = (step("shape", "Shape."), step("top", "Add your topping."), step("load"), step("bake"))
    fired = fire_method(method, PLAIN, CATALOGUE, (use("ham", "topping"),))
    assert "toppings-cold" in {one.id for one in fired[1]}
    assert "toppings-cold" not in {one.id for one in fired[0]}


def test_a_topping_no_step_puts_on_still_fires_before_the_oven():
    method = (step("shape", "Shape."), step("final proof", "Cover."), step("load"), step("bake"))
    fired = fire_method(method, PLAIN, CATALOGUE, (use("ham", "topping"),))
    assert "toppings-cold" in {one.id for one in fired[1]}


def test_what_is_put_in_by_a_swap_fires_too():
    method = (Step("top", ("Scatter ", Placeholder("poppy seeds"), ".")), step("load"))
    fired = fire_method(method, PLAIN, CATALOGUE, swaps=(("poppy seeds", "sesame seeds"),))
    assert "allergen-nuts-seeds" in {one.id for one in fired[0]}


def test_hands_are_washed_before_the_first_step_and_the_centre_checked_when_it_comes_out():
    method = (step("rest", "Wait."), step("weigh", "Weigh."), step("load"), step("take out"))
    fired = [
        {one.id for one in group} for group in fire_method(method, PLAIN, CATALOGUE, dough=("egg",))
    ]
    assert ["wash-hands" in group for group in fired] == [False, True, False, False]
    assert ["bake-through" in group for group in fired] == [False, False, False, True]


def test_much_oil_in_a_tin_is_told_when_it_comes_out_and_a_brushing_is_not():
    method = (step("pan", "Oil it."), step("load"), step("take out"))
    for grams, expected in ((30, True), (3, False)):
        fired = fire_method(method, PLAIN, CATALOGUE, (use("olive oil", "oiling", grams, "tray"),))
        assert ("oiled-hot-tin" in {one.id for one in fired[2]}) is expected


def test_a_filled_bread_goes_home_cold_and_a_plain_one_does_not():
    cold = {one.id for one in fire_home(("strong white flour", "ham"), PLAIN, CATALOGUE)}
    plain = {one.id for one in fire_home(("strong white flour", "egg"), PLAIN, CATALOGUE)}
    assert cold >= {"store-filled", "allergen-label"}
    assert "store-plain" not in cold
    assert plain >= {"store-plain", "cool-before-bag"}
    assert "store-filled" not in plain
    custard = fire_home(("egg",), PLAIN, CATALOGUE, filled=("egg",))
    assert "store-filled" in {one.id for one in custard}


# ---------------------------------------------------------------- fail closed


def said(one: Step, facts: PlaceFacts = PLAIN) -> list[str]:
    return [str(p) for p in step_problems(one, fire(one, facts, CATALOGUE), facts, CATALOGUE)]


def test_a_hot_step_that_fires_nothing_is_a_problem():
    assert said(step("rest", "Light the charcoal.")) == [
        "lessons/x.yaml:12:5: the step says 'charcoal' and nothing guards against flame and gas; write "
        "'does: [open flame]' or what else it does, or 'does: nothing' if it hurts nobody"
    ]
    assert said(step("rest", "Light the charcoal.", does=("open flame",))) == []
    assert said(step("rest", "Light the charcoal.", does=("hot thing",))) != []  # another harm


def test_a_sharp_step_that_fires_nothing_is_a_problem():
    assert said(step("rest", "Use the cleaver.")) == [
        "lessons/x.yaml:12:5: the step says 'cleaver' and nothing guards against blade; write "
        "'does: [sharp thing]' or what else it does, or 'does: nothing' if it hurts nobody"
    ]


def test_a_hot_stage_left_with_nothing_is_a_problem():
    assert [str(p) for p in step_problems(step("boil", "Go on."), (), PLAIN, CATALOGUE)] == [
        "lessons/x.yaml:12:5: the step says 'boil' and nothing guards against hot liquid; write "
        "'does: [boiling liquid]' or what else it does, or 'does: nothing' if it hurts nobody"
    ]


def test_a_trigger_nobody_knows_is_a_problem_with_the_nearest():
    assert said(step("rest", "Go on.", does=("boiling watr",)))[0].endswith(
        "no caution knows what 'boiling watr' is; did you mean 'boiling liquid'?"
    )


def test_an_ingredient_nobody_knows_is_a_problem():
    one = Step("top", ("Add ", Placeholder("mystery"), "."), spot=SPOT)
    assert said(one) == [
        "lessons/x.yaml:12:5: nothing is known of 'mystery'; state its allergens in the larder"
    ]


# ---------------------------------------------------------------- steam


@pytest.mark.parametrize(
    "text",
    [
        "Ladle a cup of hot water onto the tray below and close the door quickly.",
        "Quickly splash some water in and shut the door.",
        "Place the bread in the oven, then pour in the water.",
        "Fill the tray with hot water.",
        "Spritz the oven.",
        "Place a pan of boiling water on the bottom shelf.",
        "Flick a few drops of water onto the hot stone.",
        "Add steam.",
        "The tutor watches while you pour water into the oven.",
    ],
)
def test_no_student_is_told_to_bring_water_into_a_hot_oven(text):
    (problem,) = said(step("load", text))
    assert problem.startswith("lessons/x.yaml:12:5: a student is told '")
    assert problem.endswith(
        "'; only the tutor adds steam: write 'steam: tutor pours', and in the text 'The tutor adds "
        "steam; stand two metres back'"
    )


@pytest.mark.parametrize(
    ("stage", "text"),
    [
        ("load", "The tutor adds steam; stand two metres back."),
        ("load", "Your tutor will pour water into the tray; stay back."),
        ("load", "Never pour water into the oven."),
        ("load", "Mist the loaves on the bench before they go into the oven."),
        ("load", "Spray the loaves with water and slide them in."),
        ("load", "Brush the rolls with water and load them."),
        ("mix", "Pour the water over the flour in the bowl."),
        ("mix", "Add ice to the water in hot weather."),
        ("boil", "Put the water in the pan and bring it to the boil."),
        ("rest", "Leave it in the unheated oven with a jug of warm water."),
        ("bake", "After ten minutes let the steam out."),
    ],
)
def test_other_water_is_left_alone(stage, text):
    assert pours_into_oven(step(stage, text)) == ""


def test_the_card_says_who_adds_steam_and_never_to_pour():
    caution = CATALOGUE.caution("steam-pour-water")
    assert caution is not None
    assert caution.short == "The tutor adds steam. Stand two metres back."
    assert "pour" not in (caution.short + caution.full).lower()


# ---------------------------------------------------------------- turned off, moved


def test_what_may_not_be_turned_off_or_moved_is_said():
    off = (
        ("hot-oven", "we know"),
        ("allergen-nuts-seeds", "nobody is allergic"),
        ("oil-fire", "we have a blanket"),
        ("toppings-cold", "it is winter"),
        ("knife-cary", "no knives"),
        ("grater", " "),
        ("knife-carry", "knives stay chained to the bench"),
    )
    problems = catalogue_problems(off, ("oven-door-steam", "knife-sink"), CATALOGUE, SPOT)
    assert [f"{one.wrong}; {one.right}" for one in problems] == [
        *(
            f"'{name}' cannot be turned off; it guards ovens, toppings, allergies or lives; take it off the list"
            for name in ("hot-oven", "allergen-nuts-seeds", "oil-fire", "toppings-cold")
        ),
        "there is no caution 'knife-cary'; did you mean 'knife-carry'?",
        "'grater' is turned off without a reason; write the reason; it is printed",
        "'oven-door-steam' cannot be moved off the card; it holds its place there; take it off the list",
    ]


# ---------------------------------------------------------------- weak spots


@pytest.mark.parametrize("filling", ["egg", "bacon", "prawns"])
@pytest.mark.parametrize("stage", ["fry", "take out"])
def test_the_centre_of_a_filled_bread_is_checked_fried_or_baked(filling: str, stage: str):
    """Minced or egg fillings reach 75 °C in the middle (national food-safety advice, from memory)."""
    method = [
        step("shape", "Roll it out."),
        Step("fill", ("Spoon in ", Placeholder(filling)), spot=SPOT),
    ]
    method.append(step(stage, "Until it is brown."))
    fired = fire_method(method, PLAIN, CATALOGUE)
    assert any("checks-centre" in one.caution.triggers for one in fired[-1])
    plain = fire_method([method[0], method[2]], PLAIN, CATALOGUE)
    assert not any("checks-centre" in one.caution.triggers for one in plain[-1])


@pytest.mark.parametrize("bought", [True, False])
@pytest.mark.parametrize("allergens", [frozenset[str](), frozenset({"gluten:wheat"})])
def test_a_starter_bought_or_ones_own_gets_no_two_hour_clock(
    bought: bool, allergens: frozenset[str]
):
    """It lives at room temperature: the rule of two hours is for food that spoils (common practice, no source)."""
    one = Ingredient("levain", "starter", "other", allergens, storage="chilled", bought=bought)
    assert not {"perishable", "perishable-on-top"} & ingredient_triggers(one)
    assert "perishable" not in triggers_on_top(one)
