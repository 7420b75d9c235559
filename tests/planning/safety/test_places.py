"""Where what fired is printed: at most three to a step, reserved places at the oven, nothing lost."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from classpack.model.method import HANDS_STAGES, STEAM_METHODS, WAIT_STAGES, Step
from classpack.model.safety import RESERVED, TUTOR_STEAM, Placed, PlaceFacts, Why
from classpack.planning.safety.cautions import OVEN_STAGES, fire_home, fire_method, larder_triggers
from classpack.planning.safety.places import MOST_PER_STEP, left_on, merged, place
from classpack.reading.caution_file import package_catalogue
from classpack.reading.larder_file import package_larder

CATALOGUE = package_catalogue()
FACTS = PlaceFacts(glass_door=True, gas=True, ingredients=larder_triggers(package_larder()))
WORDS = (
    "oven", "bake", "cheese", "egg wash", "knife", "sesame", "dust the bench", "boiling water", "mixer", "slash",
    "baking paper", "garlic oil", "wire rack", "hot tray", "wait", "fold", "grate", "caramel", "jam",
)  # fmt: skip

steps = st.lists(
    st.builds(
        lambda stage, words, steam: Step(
            stage, (" and ".join(words),), steam=steam if stage in OVEN_STAGES else "none"
        ),
        st.sampled_from((*HANDS_STAGES, *WAIT_STAGES)),
        st.lists(st.sampled_from(WORDS), max_size=6),
        st.sampled_from(STEAM_METHODS),
    ),
    max_size=9,
)
some_ids = st.lists(st.sampled_from([one.id for one in CATALOGUE.cautions]), max_size=12)


def placed(method, off=(), moved=(), home=()) -> Placed:
    return place(method, fire_method(method, FACTS, CATALOGUE), CATALOGUE, home, off, moved)


@given(method=steps, off=some_ids, moved=some_ids)
@settings(max_examples=120, deadline=None)
def test_nothing_vanishes_and_nothing_is_invented(method, off, moved):
    home = fire_home(("ham",), FACTS, CATALOGUE)
    fired = {one.id for group in fire_method(method, FACTS, CATALOGUE) for one in group}
    fired |= {one.id for one in home}
    where = placed(method, tuple((name, "a reason") for name in off), moved, home)
    assert where.all_ids == fired
    places = [
        where.on_card,
        {one.id for one in where.station},
        {one.id for one in where.tutor},
        {one.fired.id for one in where.off},
    ]
    assert sum(map(len, places)) == len(fired), "each caution stands in one place only"


@example(
    method=[
        Step("bake", ("",), steam="tutor pours"),
        Step("load", ("",)),
        Step("bake", ("",), steam="tutor pours"),
    ],
    off=[],
    moved=[],
)
@given(method=steps, off=some_ids, moved=some_ids)
@settings(max_examples=120, deadline=None)
def test_every_loading_and_baking_and_taking_out_has_both_oven_cautions(method, off, moved):
    where = placed(method, tuple((name, "a reason") for name in off), moved)
    for number, step in enumerate(method):
        if step.stage not in OVEN_STAGES:
            continue
        covered = {one.id for one in where.before[number]}
        if step.stage == "bake" and number and method[number - 1].stage == "load":
            covered |= {one.id for one in where.before[number - 1]}
        assert set(RESERVED) <= covered
        if step.steam == "tutor pours" and step.stage != "take out":
            assert TUTOR_STEAM in covered


@given(method=steps)
@settings(max_examples=120, deadline=None)
def test_at_most_three_stand_before_a_step_and_food_safety_stays_on_the_card(method):
    where = placed(method)
    for group in where.before:
        kept = [one for one in group if one.caution.kept or one.id in (*RESERVED, TUTOR_STEAM)]
        assert len(group) <= max(MOST_PER_STEP, len(kept))
        assert len({one.id for one in group}) == len(group)
    fired = {one.id for group in fire_method(method, FACTS, CATALOGUE) for one in group}
    kept_ids = {one.id for one in CATALOGUE.cautions if one.kept}
    assert fired & kept_ids <= where.on_card


def test_a_caution_stands_before_the_first_step_that_fires_it_and_not_again():
    method = (Step("shape", ("Dust the bench.",)), Step("round", ("Dust the bench again.",)))
    before = [[one.id for one in group] for group in placed(method).before]
    assert "flour-dust" in before[0]
    assert "flour-dust" not in before[1]


def test_a_full_step_hands_the_mildest_on_to_the_next_step_that_fires_it():
    text = "Grate the cheese, chop the nuts, boil the kettle, dust the bench."
    method = (Step("top", (text,)), Step("rest", ("Wait.",)), Step("cut", ("Chop.",)))
    before = [[one.id for one in group] for group in placed(method).before]
    assert before[0] == ["wash-hands", "toppings-cold", "boiling-water"]
    assert before[2] == ["bread-knife", "knife-carry"]
    assert "grater" in {one.id for one in placed(method).station}


def test_a_load_with_everything_on_it_keeps_its_places():
    method = (
        Step("weigh", ("Weigh.",)),
        Step("top", ("Top with ham, sesame and egg wash.",)),
        Step("load", ("Top with the cheese. The tutor adds steam.",), steam="tutor pours"),
        Step("bake", (), steam="tutor pours"),
        Step("take out", ("Take out; let the cheese cool on a wire rack.",), steam="tutor pours"),
    )
    before = [[one.id for one in group] for group in placed(method).before]
    assert before[2] == ["hot-oven", "oven-door-steam", "steam-pour-water"]
    assert before[4][:2] == ["hot-oven", "oven-door-steam"]


def test_the_base_dough_s_cautions_are_not_printed_twice_on_one_card():
    base = (Step("shape", ("Dust the bench.",)), Step("rest", ("Preheat the oven.",)))
    bread = (
        Step("round", ("Dust the bench.",)),
        Step("load", ()),
        Step("bake", ()),
        Step("take out", ()),
    )
    first = placed(base)
    fired = fire_method(bread, FACTS, CATALOGUE, first=False)
    then = place(bread, fired, CATALOGUE, already=first.on_card)
    assert "flour-dust" in {one.id for one in then.earlier}
    assert {one.id for one in then.before[1]} >= set(RESERVED)
    assert then.all_ids == {one.id for group in fired for one in group}


def test_a_turned_off_caution_is_kept_with_its_reason_and_no_longer_guards():
    method = (Step("cut", ("Slice.",)),)
    off = (("knife-carry", "knives are chained to the bench"), ("hot-oven", "no"))
    where = placed(method, off)
    assert [(one.fired.id, one.reason) for one in where.off] == [off[0]]
    (fired,) = fire_method(method, FACTS, CATALOGUE)
    assert "knife-carry" not in {one.id for one in left_on(fired, off)}
    oven = fire_method((Step("load", ()),), FACTS, CATALOGUE)[0]
    assert "hot-oven" in {one.id for one in left_on(oven, off)}


def test_a_caution_for_the_tutor_alone_is_on_no_students_paper():
    where = placed((Step("load", ()), Step("clean", ())))
    shared = {one.id for group in where.before for one in group} | {o.id for o in where.station}
    assert {one.id for one in where.tutor} >= {"oven-fire", "chemicals"}
    assert not shared & {"oven-fire", "chemicals"}


def test_merging_keeps_the_highest_word_and_every_reason():
    young = PlaceFacts(children=True)
    one = fire_method((Step("load", ()),), FACTS, CATALOGUE)[0]
    two = fire_method((Step("bake", ("Bake.",)),), young, CATALOGUE)[0]
    (oven,) = [caution for caution in merged((one, two), CATALOGUE) if caution.id == "hot-oven"]
    assert oven.severity == "WARNING"
    assert oven.why == (Why("stage", "load"), Why("stage", "bake"), Why("word", "bake"))
