"""Where what fired is printed: the worst first, reserved places at the oven, nothing lost."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from classpack.model.method import HANDS_STAGES, STEAM_METHODS, WAIT_STAGES, Step
from classpack.model.safety import (
    RESERVED,
    TUTOR_STEAM,
    Placed,
    PlaceFacts,
    harm_rank,
    severity_rank,
)
from classpack.planning.safety.cautions import (
    OVEN_STAGES,
    fire_home,
    fire_method,
    larder_triggers,
    words_hit,
)
from classpack.planning.safety.places import left_on, place
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
        {one.id for one in where.wall},
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
def test_the_worst_stands_first_and_food_safety_stays_on_the_card(method):
    where = placed(method)
    for group in where.before:
        keys = [(-severity_rank(one.severity), harm_rank(one)) for one in group]
        assert keys == sorted(keys)
        assert len({one.id for one in group}) == len(group)
    fired = {one.id for group in fire_method(method, FACTS, CATALOGUE) for one in group}
    kept_ids = {one.id for one in CATALOGUE.cautions if one.kept}
    assert fired & kept_ids <= where.on_card


@given(method=steps)
@settings(max_examples=120, deadline=None)
def test_what_a_steps_own_words_fire_has_its_guard_on_the_card(method):
    """The words of a step pose a harm; a caution against it stands on the paper that says them."""
    where = placed(method)
    told = {harm for group in where.before for one in group for harm in one.caution.guards}
    for step in method:
        for trigger, _ in words_hit(step, CATALOGUE):
            if trigger.harm and trigger.id not in ("preheats", "hot-filling", "hot-thing"):
                assert trigger.harm in told, (trigger.id, step)


def test_a_caution_stands_before_the_first_step_that_fires_it_and_not_again():
    method = (Step("shape", ("Dust the bench.",)), Step("round", ("Dust the bench again.",)))
    before = [[one.id for one in group] for group in placed(method).before]
    assert "flour-dust" in before[0]
    assert "flour-dust" not in before[1]


def test_raw_egg_is_not_displaced_by_what_every_dough_contains():
    method = (Step("mix", ("Beat the eggs into the butter and milk.",)), Step("load", ()))
    where = place(method, fire_method(method, FACTS, CATALOGUE), CATALOGUE, shared=1)
    assert "raw-egg" in {one.id for one in where.before[0]}
    assert "allergen-milk-egg-other" in {one.id for one in where.station}  # all doughs hold it


def test_an_allergen_of_a_topping_stands_where_it_is_put_on():
    method = (
        Step("mix", ("Stir in the milk.",)),
        Step("glaze", ("Brush with milk.",)),
        Step("bake", (), meanwhile="Milk browns early."),
    )
    where = place(method, fire_method(method, FACTS, CATALOGUE), CATALOGUE, shared=1)
    told = [[one.id for one in group] for group in where.before]
    assert ["allergen-milk-egg-other" in group for group in told] == [False, True, False]


def test_a_load_with_everything_on_it_leads_with_the_warnings():
    method = (
        Step("weigh", ("Weigh.",)),
        Step("load", ("Slide them in. The tutor adds steam.",), steam="tutor pours"),
        Step("bake", (), steam="tutor pours"),
        Step("take out", ("Take out; let it cool on a wire rack.",), steam="tutor pours"),
    )
    before = [[one.id for one in group] for group in placed(method).before]
    assert before[1] == ["oven-door-steam", "steam-pour-water", "steam-glass", "hot-oven"]
    assert before[2] == []
    assert before[3][:2] == ["oven-door-steam", "hot-oven"]


def test_what_holds_for_everybody_all_day_hangs_on_the_wall():
    where = placed((Step("weigh", ("Weigh the flour.",)), Step("clean", ("Wipe the bench.",))))
    assert {"cover-cuts", "floor-spill", "allergen-wheat-air"} <= {one.id for one in where.wall}
    assert not {one.id for one in where.wall} & {one.id for one in where.station}


def test_a_spill_that_a_step_speaks_of_stands_on_its_card():
    where = placed((Step("pan", ("If oil is on the floor, call.",)),))
    assert "floor-spill" in where.on_card


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
