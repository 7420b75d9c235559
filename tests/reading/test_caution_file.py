"""The package's catalogue, and a tutor's own cautions."""

from dataclasses import replace

import pytest

from classpack.errors import LessonError
from classpack.model.method import Step
from classpack.model.safety import HARMS, SEVERITIES, PlaceFacts
from classpack.planning.safety.cautions import fire
from classpack.planning.safety.checks import LYE
from classpack.reading.caution_file import (
    LONGEST_SENTENCE,
    LONGEST_SHORT,
    package_catalogue,
    sentences,
    with_own_cautions,
)
from classpack.typeset.sign_names import SIGNS
from classpack.typeset.signs import known_sign

CATALOGUE = package_catalogue()

# ISO 7010:2019 with amendments, ids and names as listed by the Wikipedia article "ISO 7010" and a public typesetting
# package that follows it (lbize/iso-7010, 2025). The standard itself was not opened.
ISO_7010 = """
W001 General warning sign | W007 Floor-level obstacle | W011 Slippery surface | W012 Electricity | W017 Hot surface
W018 Automatic start-up | W022 Sharp element | W024 Crushing of hands
W071 Substance or mixture presenting a health hazard | W079 Hot content | W080 Hot steam | W088 Moving blades
M001 General mandatory action sign | M002 Refer to instruction manual/booklet
M006 Disconnect mains plug from electrical outlet | M009 Wear protective gloves | M011 Wash your hands
P003 No open flame; fire, open ignition source and smoking prohibited | P010 Do not touch
P011 Do not extinguish with water | P022 No eating or drinking
E003 First aid | F001 Fire extinguisher | F016 Fire blanket
"""


def test_signs_are_those_of_iso_7010_by_id_and_name():
    listed = dict(
        entry.strip().split(" ", 1)
        for line in ISO_7010.split("\n")
        for entry in line.split("|")
        if entry.strip()
    )
    assert listed == dict(SIGNS)
    for sign in SIGNS:
        known_sign(sign)  # raises where there is no drawing
    for caution in CATALOGUE.cautions:
        assert caution.sign in listed
        assert caution.alt_sign in (*listed, "")


def test_a_notice_carries_no_alert_triangle_and_a_triangle_no_notice():
    """ANSI Z535.4-2007, as a label maker quotes it: NOTICE is not about injury and never has the alert symbol."""
    for caution in CATALOGUE.cautions:
        if caution.severity == "NOTICE":
            assert not caution.sign.startswith("W"), caution.id


def test_danger_is_kept_for_the_most_extreme():
    dangers = {one.id for one in CATALOGUE.cautions if one.severity == "DANGER"}
    assert dangers == {"oil-fire", "gas-smell", "anaphylaxis-act"}
    raised = {one.id for one in CATALOGUE.cautions for _, word in one.raise_for if word == "DANGER"}
    assert raised == {"mixer-hands"}


def test_lines_are_short_enough_to_read_at_arms_length():
    """Sentences: GOV.UK style, at most 25 words (Government Digital Service blog, 2014). 70 signs is this project's choice."""
    for caution in CATALOGUE.cautions:
        assert 0 < len(caution.short) <= LONGEST_SHORT, caution.id
        for sentence in sentences(caution.full):
            assert len(sentence.split()) <= LONGEST_SENTENCE, (caution.id, sentence)


def test_every_caution_says_where_it_comes_from_and_how_far_it_was_checked():
    for caution in CATALOGUE.cautions:
        checks = {CATALOGUE.source(one).checked for one in caution.sources}
        assert caution.controls, caution.id
        if caution.checked == "read":
            assert checks & {"read", "read second-hand"}, caution.id
    for aid in CATALOGUE.first_aid:
        assert aid.steps
        assert all(CATALOGUE.source(one) for one in aid.sources)
    for settled in CATALOGUE.settled:
        assert all(CATALOGUE.source(one) for one in settled.sources)


def test_every_trigger_guards_something_and_every_caution_can_fire():
    used = {one for caution in CATALOGUE.cautions for one in caution.triggers}
    assert used == {trigger.id for trigger in CATALOGUE.triggers if not trigger.asks}
    assert {one.first_aid for one in CATALOGUE.cautions if one.first_aid} <= {
        a.id for a in CATALOGUE.first_aid
    }


def test_every_harm_that_a_trigger_poses_is_guarded_on_a_students_paper():
    """A caution for the tutor alone, or one that needs a second reason, answers for nothing."""
    for trigger in CATALOGUE.triggers:
        if trigger.harm and not trigger.asks and trigger.id != LYE:
            assert any(
                trigger.id in one.triggers
                and trigger.harm in one.guards
                and one.audience != "tutor"
                and not one.combine_all
                for one in CATALOGUE.cautions
            ), trigger.id


def test_every_harm_is_posed_and_what_asks_names_something_a_step_may_do():
    assert {one.harm for one in CATALOGUE.triggers if one.harm} == set(HARMS)
    for one in CATALOGUE.triggers:
        if one.asks:
            stated = CATALOGUE.trigger(one.asks)
            assert one.asks in ("hob",) or (stated is not None and stated.harm == one.harm), one.id


def words(name: str) -> str:
    caution = CATALOGUE.caution(name)
    assert caution is not None
    return " ".join((caution.short, caution.full, *caution.controls))


def test_burns_are_cooled_for_20_minutes_everywhere():
    """ANZCOR Guideline 9.1.3, First Aid for Burns: 20 minutes of running water, within 3 hours. Stricter than the American
    Burn Association leaflet (2019: at least 5) and than North Bristol NHS Trust (10 to 30)."""
    burn = CATALOGUE.aid("burn")
    assert "20 minutes" in burn.card
    assert "20 minutes" in burn.steps[1]
    assert "3 hours" in burn.steps[1]


def test_a_second_pen_is_given_at_5_minutes():
    """Anaphylaxis UK, "What to do in an emergency": a second auto-injector after 5 minutes without improvement."""
    assert any("5 minutes" in step for step in CATALOGUE.aid("anaphylaxis").steps)


def test_cold_is_5_or_8_degrees_and_toppings_are_out_two_hours():
    """8 °C and one period under 4 hours: SI 2005/2059, Schedule 4. 5 °C (41 °F): FDA Food Code 3-501.16. 2-hour / 4-hour
    rule: Food Standards Australia New Zealand. Two hours in all lies inside every one of them."""
    assert "2 hours" in words("toppings-cold")
    assert "5 °C" in words("toppings-cold")
    assert "8 °C" in words("toppings-cold")


def test_gluten_free_is_20_mg_in_a_kilogram():
    """Regulation (EU) No 828/2014, annex: at most 20 mg/kg. US 21 CFR 101.91: under 20 ppm."""
    assert "20 mg of gluten in a kilogram" in words("gluten-free-claim")


def test_flour_dust_has_the_british_limit():
    """HSE, COSHH and bakers: 10 mg/m3 over 8 hours, 30 mg/m3 over 15 minutes; under 2 usually achievable."""
    assert "10 mg/m3 over 8 h, 30 mg/m3 over 15 min" in words("flour-dust")


def test_sick_people_stay_away_48_hours():
    """Food Standards Agency, Food Handlers: Fitness to Work, 2009."""
    assert "48 hours" in words("ill-stay-home")


# ---------------------------------------------------------------- a tutor's own

OWN = """
sources:
  hall-rules: {title: House rules, body: The Net Loft, year: "2027"}
cautions:
  wood-oven:
    hazard: heat
    word: WARNING
    words: [wood oven, embers]
    short: "Wood oven: the tutor alone works its door."
    sources: hall-rules
"""


def test_a_tutors_own_caution_fires_by_its_words_and_by_name():
    catalogue = with_own_cautions(CATALOGUE, OWN, "own.yaml")
    for step in (Step("rest", ("Rake the embers.",)), Step("rest", ("Los.",), does=("wood oven",))):
        (fired,) = [one for one in fire(step, PlaceFacts(), catalogue) if one.id == "wood-oven"]
        assert fired.caution.own
        assert fired.severity == "WARNING"
    assert str(catalogue.source("hall-rules")) == "The Net Loft, House rules, 2027"
    assert CATALOGUE.caution("wood-oven") is None
    assert len(catalogue.cautions) == len(CATALOGUE.cautions) + 1


def test_what_is_wrong_with_an_own_caution_is_told_all_at_once():
    text = """
cautions:
  hot-oven:
    hazard: heat
    word: CAUTION
    fires when: uses-oven
    short: "Never mind."
  stove:
    hazard: hot
    word: SHOUT
    words: [stove]
    sign: W999
    short: "This line goes on and on until it is much too long to stand on a card at all."
    colour: red
"""
    with pytest.raises(LessonError) as caught:
        with_own_cautions(CATALOGUE, text, "own.yaml")
    assert [str(one) for one in caught.value.problems] == [
        "own.yaml:3:3: 'hot-oven' is already in the catalogue; give yours another name; the lesson can turn the "
        "other off, with a reason",
        "own.yaml:9:13: 'hazard' is 'hot'; choose from: heat, sharp, machine, electric, dust, floor, lifting, food, "
        "allergen, chemical, people",
        "own.yaml:10:11: 'word' is 'SHOUT'; choose from: NOTICE, CAUTION, WARNING, DANGER",
        "own.yaml:12:11: 'sign' is 'W999'; choose from: W001, W007, W011, W012, W017, W018, W022, W024, W071, "
        "W079, W080, W088 ...",
        "own.yaml:13:12: 'short' has 77 signs; keep it to 70, it stands on a card",
        "own.yaml:14:5: caution 'stove' has no field 'colour'; choose from: at risk, checked, controls, fallback, "
        "fires when, first aid, for, full, guards, hazard, kept, named ...",
    ]


def test_the_english_wording_needs_no_signature_and_a_translation_does():
    assert CATALOGUE.reviewed
    german = replace(CATALOGUE, language="de")
    assert not german.reviewed
    assert replace(german, reviewed_by="A. Example, first-aid trainer").reviewed


def test_words_rank_from_notice_to_danger():
    assert SEVERITIES == ("NOTICE", "CAUTION", "WARNING", "DANGER")
