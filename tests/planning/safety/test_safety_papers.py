"""The two-minute talk, the wall's safety sheet, the tutor's part, the accident form."""

import datetime
from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.kitchen import Kitchen, Oven, Scale
from classpack.model.method import HANDS_STAGES, Step
from classpack.model.safety import HEALTH_GROUPS, RESERVED, PlaceFacts
from classpack.planning.safety.briefing import MOST_SECONDS, briefing, order_of_day
from classpack.planning.safety.cautions import fire, fire_class, larder_triggers
from classpack.planning.safety.emergency import emergency_call
from classpack.planning.safety.safety_sheet import (
    MOST_HAZARDS,
    accident_form_until,
    health_words,
    safety_sheet,
    tutor_safety,
)
from classpack.reading.caution_file import package_catalogue
from classpack.reading.larder_file import package_larder

CATALOGUE = package_catalogue()


def kitchen(**rest: object) -> Kitchen:
    oven = Oven("left", "conventional", 2, Fraction(250))
    return Kitchen("Hall", "hall.yaml", (oven,), (Scale(Fraction(1), Fraction(5000)),), **rest)  # type: ignore[arg-type]


FACTS = PlaceFacts(gas=True, ingredients=larder_triggers(package_larder()))
HALL = kitchen(
    country="GB",
    address="4 Ropewalk Stairs",
    first_aider="Perpetua Quennell",
    first_aid_box="by the larder door",
    fire_exit="the double door",
    sinks=2,
)
DAY = (
    (10, Step("weigh", ("Weigh.",))),
    (70, Step("top", ("Top with ham and grated cheese; scatter sesame.",))),
    (100, Step("load", ("The tutor adds steam.",), steam="tutor pours")),
    (130, Step("take out", ("Take out.",))),
    (160, Step("cut", ("Slice.",))),
)
MET = order_of_day([(minute, fire(step, FACTS, CATALOGUE)) for minute, step in DAY], CATALOGUE)


def test_the_day_is_told_in_its_own_order_and_each_caution_once():
    assert [one.minute for one in MET] == sorted(one.minute for one in MET)
    assert len({one.fired.id for one in MET}) == len(MET)


def test_the_talk_opens_with_the_way_out_the_burn_tap_and_the_number():
    talk = briefing(MET, HALL, emergency_call(HALL))
    assert [line.text for line in talk.lines[:4]] == [
        "Way out: the double door.",
        "First aid: Perpetua Quennell; the box is by the larder door.",
        "A burn: cool running tap water at once, 20 minutes. One tap stays free for it.",
        "Emergency: 999.",
    ]
    minutes = [line.minute for line in talk.lines if line.minute is not None]
    assert minutes == sorted(minutes)
    assert set(RESERVED) <= {line.caution for line in talk.lines}


@given(st.lists(st.sampled_from((*HANDS_STAGES, "bake", "cool")), max_size=14), st.booleans())
@settings(max_examples=40, deadline=None)
def test_the_talk_never_takes_more_than_two_minutes_and_loses_nothing_unsaid(stages, known):
    every = [
        (
            n,
            fire(
                Step(stage, ("Oven, knife, egg, cheese, mixer, flour the bench, fry.",)),
                FACTS,
                CATALOGUE,
            ),
        )
        for n, stage in enumerate(stages)
    ]
    met = order_of_day(every, CATALOGUE)
    hall = HALL if known else kitchen()
    talk = briefing(met, hall, emergency_call(hall))
    assert talk.seconds <= MOST_SECONDS
    said = {line.caution for line in talk.lines if line.caution}
    meant = {
        one.fired.id
        for one in met
        if one.fired.caution.audience != "tutor"
        and one.fired.caution.place != "home"
        and one.fired.severity != "NOTICE"
    }
    assert said | set(talk.left_out) == meant
    assert not said & set(talk.left_out)


def test_the_wall_has_eight_lines_with_both_of_the_ovens_in_the_order_of_the_day():
    sheet = safety_sheet(MET, HALL, CATALOGUE)
    assert len(sheet.hazards) == MOST_HAZARDS
    assert set(RESERVED) <= {one.fired.id for one in sheet.hazards}
    assert [one.minute for one in sheet.hazards] == sorted(one.minute for one in sheet.hazards)
    assert [aid.id for aid in sheet.first_aid] == ["burn", "anaphylaxis"]
    assert {"cut", "fire"} <= {aid.id for aid in sheet.more_aid}
    assert not set(sheet.first_aid) & set(sheet.more_aid)
    assert (sheet.call.call, sheet.address) == ("999", "4 Ropewalk Stairs")
    assert sheet.remarks == ()
    assert not sheet.not_reviewed


def test_what_the_wall_lacks_is_a_blank_and_a_remark():
    sheet = safety_sheet(MET, kitchen(), CATALOGUE)
    assert sheet.address == ""
    assert [one.text.split(":")[0] for one in sheet.remarks] == [
        "The kitchen file names no country",
        "The safety sheet has a blank for the address an ambulance is sent to",
        "The safety sheet has a blank for who gives first aid",
        "The safety sheet has a blank for where the first-aid box is",
        "The safety sheet has a blank for the way out and where to meet",
        "Write 'sinks' in the kitchen file",
    ]


def test_one_sink_is_kept_for_a_burn():
    one = safety_sheet(MET, replace(HALL, sinks=1), CATALOGUE)
    assert one.sinks == 1
    assert [str(remark) for remark in one.remarks] == [
        "remark (safety): There is one sink: its cold tap stays free for a burn, so wash up in bowls."
    ]


def test_a_translation_nobody_signed_says_so():
    german = replace(CATALOGUE, language="de")
    assert safety_sheet(MET, HALL, german).not_reviewed
    assert not safety_sheet(MET, HALL, replace(german, reviewed_by="A. Example")).not_reviewed


def test_the_tutor_is_told_what_is_from_memory_and_where_rules_differ():
    every = (*fire_class(FACTS, CATALOGUE), *(one.fired for one in MET))
    part = tutor_safety(every, CATALOGUE)
    assert {"gas-light", "gas-smell"} <= {one.id for one in part.cautions}
    assert all(one.checked == "memory" for one in part.confirm)
    assert "hot-bread" in {one.id for one in part.confirm}
    assert {"burn", "toppings", "egg"} <= {one.topic for one in part.settled}


def test_health_raises_a_word_on_the_confidential_sheet_only():
    fired = [one.fired for one in MET]
    assert health_words(fired, frozenset()) == ()
    found = {
        one.caution.id: (one.word, one.groups)
        for one in health_words(fired, frozenset(HEALTH_GROUPS))
    }
    assert found["raw-dough"] == ("WARNING", ("pregnant", "older", "immune-weak"))
    assert found["flour-tip"] == ("WARNING", ("has-asthma",))
    assert {one.caution.id for one in health_words(fired, frozenset({"children"}))} == set()


def test_an_accident_form_is_kept_three_years_at_most():
    # RIDDOR 2013, regulation 12 (from memory)
    assert accident_form_until(datetime.date(2028, 2, 29)) == datetime.date(2031, 2, 1)
