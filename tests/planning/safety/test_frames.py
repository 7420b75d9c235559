"""A card's cautions in at most seven frames, each before what it guards; sentences in today's words."""

from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.method import HANDS_STAGES, HOB_STAGES, Step
from classpack.model.safety import RESERVED, PlaceFacts, severity_rank
from classpack.planning.safety.cautions import OVEN_STAGES, fire_home, fire_method, larder_triggers
from classpack.planning.safety.frames import MOST_FRAMES, frame_card
from classpack.planning.safety.places import place
from classpack.reading.caution_file import package_catalogue
from classpack.reading.larder_file import package_larder

CATALOGUE = package_catalogue()
FACTS = PlaceFacts(ingredients=larder_triggers(package_larder()))
HOME = fire_home(("ham",), FACTS, CATALOGUE, ("ham",))
WORDS = (
    "oven",
    "cheese",
    "egg wash",
    "knife",
    "sesame",
    "dust the bench",
    "boiling water",
    "mixer",
    "baking paper",
    "grate",
)

cold = st.sampled_from([one for one in HANDS_STAGES if one not in (*OVEN_STAGES, *HOB_STAGES)])
before_oven = st.lists(
    st.builds(
        lambda stage, words: Step(stage, (" and ".join(words),)),
        cold,
        st.lists(st.sampled_from(WORDS), max_size=4),
    ),
    max_size=9,
)  # fmt: skip


def framed(steps, home=HOME):
    where = place(steps, fire_method(steps, FACTS, CATALOGUE), CATALOGUE, home)
    pairs = [(step.stage, group) for step, group in zip(steps, where.before, strict=True)]
    return (*frame_card(pairs, where.at_home), where)


@given(first=before_oven, then=before_oven, cut=st.booleans())
@settings(max_examples=80, deadline=None)
def test_two_breads_have_seven_frames_at_most_and_nothing_is_lost_or_late(first, then, cut):
    oven = (Step("load", ()), Step("bake", ()), Step("take out", ()))
    steps = (*first, *oven, *then, *oven, *([Step("cut", ("Slice.",))] if cut else []))
    frames, home, where = framed(steps)
    assert sum(frame is not None for frame in frames) + (home is not None) <= MOST_FRAMES
    printed = {}
    for number, frame in enumerate(frames):
        for one in frame.cautions if frame else ():
            printed.setdefault(one.id, number)
    for number, group in enumerate(where.before):
        for one in group:
            assert printed[one.id] <= number, "a caution stands before the step it guards"
    at_end = {one.id for one in home.cautions} if home else set()
    assert {one.id for one in where.at_home} <= at_end | printed.keys()
    for number, step in enumerate(steps):
        if step.stage in ("load", "take out"):
            frame = frames[number]
            assert frame is not None
            assert set(RESERVED) <= {one.id for one in frame.cautions}


@given(steps=before_oven)
@settings(max_examples=60, deadline=None)
def test_a_frame_says_nothing_twice_and_leads_with_the_severest(steps):
    for frame in (*framed(steps)[0], framed(steps)[1]):
        if frame is not None:
            lines = [one.line for one in frame.cautions]
            assert len(set(lines)) == len(lines)
            words = [severity_rank(one.severity) for one in frame.cautions]
            assert words == sorted(words, reverse=True)


def test_the_frames_of_a_topped_bread_are_those_of_the_trial():
    steps = (
        Step("weigh", ("Weigh the flour.",)),
        Step("shape", ("Dust the bench.",)),
        Step("cut", ("Halve the tomatoes.",)),
        Step("top", ("Spread with cheese.",)),
        Step("load", ()),
        Step("bake", ()),
        Step("take out", ()),
    )
    frames, home, _ = framed(steps)
    found = [frame.group if frame else None for frame in frames]
    assert found == [
        "before you start", None, "blade", "allergen", "into the oven", None, "out of the oven",
    ]  # fmt: skip
    assert frames[0] is not None
    assert [one.id for one in frames[0].cautions] == ["wash-hands", "raw-dough", "flour-tip", "flour-dust"]  # fmt: skip
    assert home is not None
    assert home.group == "taking it home"


def test_raw_egg_stays_at_its_step_when_frames_are_many():
    oven = (Step("load", ()), Step("bake", ()), Step("take out", ()))
    steps = (
        Step("weigh", ("Weigh.",)),
        Step("pan", ("Line it with baking paper.",)),
        Step("glaze", ("Brush with milk, scatter sesame.",)),
        *oven,
        Step("glaze", ("Brush with egg.",)),
        *oven,
    )
    frames, home, _ = framed(steps, fire_home(("strong white flour",), FACTS, CATALOGUE))
    assert home is None  # said before the last bread comes out, rather than egg far from its bowl
    egg = frames[6]
    assert egg is not None
    assert "raw-egg" in {one.id for one in egg.cautions}
