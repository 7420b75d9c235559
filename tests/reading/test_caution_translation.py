"""A translation changes words and nothing else; what is missing stops it."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from classpack.errors import LessonError
from classpack.model.method import Step
from classpack.model.safety import PlaceFacts
from classpack.places import own_folder
from classpack.planning.safety.cautions import fire_method
from classpack.reading.caution_file import package_catalogue
from classpack.reading.caution_translation import LONGEST_SHORT, translated
from tests.planning.made_up_classes import shipped

LANGUAGES = sorted(
    path.parent.parent.name
    for path in own_folder("templates").glob("words/*/planning/cautions.yaml")
)
WORDS = ("short", "full", "who", "controls", "named", "named_last")


def german_text() -> str:
    return (own_folder("templates") / "words/de/planning/cautions.yaml").read_text("utf-8")


def refused(text: str) -> list[str]:
    with pytest.raises(LessonError) as caught:
        translated(package_catalogue(), text, "cautions.yaml")
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_translation_has_every_caution_with_the_same_word_sign_trigger_and_source(
    language: str,
) -> None:
    path = own_folder("templates") / f"words/{language}/planning/cautions.yaml"
    english = package_catalogue()
    other = translated(english, path.read_text("utf-8"), path.name)
    assert [one.id for one in other.cautions] == [one.id for one in english.cautions]
    for ours, theirs in zip(english.cautions, other.cautions, strict=True):
        for field in dataclasses.fields(ours):
            if field.name not in (*WORDS, "spot"):
                assert getattr(ours, field.name) == getattr(theirs, field.name), ours.id
        assert all(getattr(ours, name) != getattr(theirs, name) for name in ("short", "full"))
        assert len(ours.controls) == len(theirs.controls)
        assert len(theirs.short) <= LONGEST_SHORT
    for aid, their_aid in zip(english.first_aid, other.first_aid, strict=True):
        assert (aid.id, len(aid.steps), aid.checked) == (
            their_aid.id,
            len(their_aid.steps),
            their_aid.checked,
        )
        assert aid.title != their_aid.title or aid.id == "fall"


@pytest.mark.parametrize("language", LANGUAGES)
def test_nobody_has_signed_for_a_translation_yet(language: str) -> None:
    path = own_folder("templates") / f"words/{language}/planning/cautions.yaml"
    other = translated(package_catalogue(), path.read_text("utf-8"), path.name)
    assert other.language == language
    assert other.reviewed_by == ""
    assert not other.reviewed


def test_whoever_signs_is_named() -> None:
    signed = german_text().replace('reviewed by: ""', "reviewed by: Hedwig Österreicher")
    found = translated(package_catalogue(), signed, "cautions.yaml")
    assert found.reviewed
    assert found.reviewed_by == "Hedwig Österreicher"


def test_a_caution_without_its_text_is_named_and_never_english() -> None:
    text = german_text()
    start, end = text.index("  hot-oven:\n"), text.index("  oven-look-inside:\n")
    line = text[: text.index("\ncautions:\n")].count("\n") + 3
    assert refused(text[:start] + text[end:]) == [
        f"cautions.yaml:{line}:3: 'cautions' has no 'hot-oven'; write its texts below 'hot-oven:'"
    ]


def test_a_control_that_was_forgotten_is_told() -> None:
    text = german_text().replace('      - "Roste kalt einsetzen"\n', "", 1)
    (problem,) = refused(text)
    assert problem.endswith("'controls' has 4 lines; translate all 5, in the same order")


def test_a_line_too_long_for_a_card_is_told() -> None:
    text = german_text().replace(
        "Heißer Ofen: trockene", "Heißer Ofen, immer und überall: trockene", 1
    )
    (problem,) = refused(text)
    assert problem.endswith("'short' has 86 signs; keep it to 80, it stands on a card")


def test_words_of_the_language_fire_also_inside_words() -> None:
    german = translated(package_catalogue(), german_text(), "cautions.yaml")

    def hits(text: str) -> set[str]:
        return {trigger.id for trigger, _ in german.hits(text)}

    assert {"uses-oven", "opens-hot-oven"} <= hits("Die Backofentür vorsichtig aufmachen.")
    assert "knife" in hits("Mit dem Brotmesser in Scheiben schneiden.")
    assert "knife" not in hits("Auf 28 cm Durchmesser ziehen.")
    assert "scores-dough" in hits("Mit der Rasierklinge einritzen.")
    assert "hot-oil" in hits("In der Fritteuse goldbraun werden lassen.")
    assert "mixer" in hits("In der Küchenmaschine vermengen.")
    assert "baking-paper" in hits("Auf Backpapier setzen.")
    assert "perishable" in hits("Bergkäse darüberstreuen.")


def test_loading_that_is_only_announced_opens_no_oven() -> None:
    """As the English card, whose topping ends with "Load at once", says nothing of a door before the loading."""
    german = translated(package_catalogue(), german_text(), "cautions.yaml")

    def hits(text: str) -> set[str]:
        return {trigger.id for trigger, _ in german.hits(text)}

    assert "opens-hot-oven" not in hits("Den Käse darüberstreuen. Gleich einschieben.")
    assert "opens-hot-oven" not in hits("Bis zum Einschieben zugedeckt lassen.")
    assert "opens-hot-oven" in hits("Das Blech einschieben.")
    assert "opens-hot-oven" in hits("Die Ofentür öffnen und gleich einschieben.")
    assert "opens-hot-oven" in hits("Gleich einschieben. Nach der Hälfte das Blech drehen.")


def test_cheese_that_was_bought_grated_asks_for_no_grater() -> None:
    """As "grated" in English, which is no word of the grater's."""
    german = translated(package_catalogue(), german_text(), "cautions.yaml")

    def hits(text: str) -> set[str]:
        return {trigger.id for trigger, _ in german.hits(text)}

    assert "grater" not in hits("70 g Bergkäse, gerieben darüberstreuen.")
    for text in ("Den Käse reiben.", "Der Käse wird gerieben.", "Fein gerieben darauf geben."):
        assert "grater" in hits(text), text


def test_a_filling_that_bubbles_in_the_oven_is_told_where_it_comes_out() -> None:
    german = translated(package_catalogue(), german_text(), "cautions.yaml")
    cue = "der Käse Blasen wirft"
    method = (
        Step("load", ("Das Blech einschieben.",)),
        Step("bake", (), ready_when=cue),
        Step("take out", ("Das Blech herausheben.",)),
        Step("cool", ("Auf dem Gitter lassen.",)),
    )
    fired = fire_method(method, PlaceFacts(), german)
    assert [any(one.id == "hot-filling" for one in group) for group in fired] == [
        False,
        False,
        True,
        True,
    ]
    left = fire_method(method[:2], PlaceFacts(), german)
    assert any(one.id == "hot-filling" for one in left[1])  # nothing comes after: never dropped


def test_the_german_flat_bread_has_its_cautions_where_the_english_pizza_has_them() -> None:
    def before(name: str, bread: str, caution: str) -> list[str]:
        plan = shipped(name)
        placed = plan.placed(bread).before[len(plan.lesson.base.method) :]
        method = plan.lesson.variation(bread).method
        return [
            step.stage
            for step, group in zip(method, placed, strict=True)
            if any(one.id == caution for one in group)
        ]

    for caution in ("oven-door-steam", "hot-filling", "hot-oven"):
        found = before("samstag-acht", "Zwiebelfladen", caution)
        assert found == before("saturday-twelve", "pizza", caution), caution
        assert found


def test_the_english_words_stay_a_net_too() -> None:
    german = translated(package_catalogue(), german_text(), "cautions.yaml")
    for ours, theirs in zip(package_catalogue().triggers, german.triggers, strict=True):
        assert set(ours.words) <= set(theirs.words)
        assert not ours.words or len(theirs.words) + len(theirs.stems) > len(ours.words)


def test_only_files_of_other_languages_are_looked_for() -> None:
    assert "en" not in LANGUAGES
    assert "de" in LANGUAGES
    assert Path(own_folder("templates") / "words/en").is_dir()


def test_long_words_of_a_translation_may_say_where_they_part() -> None:
    german = translated(package_catalogue(), german_text(), "cautions.yaml")
    assert any("\N{SOFT HYPHEN}" in one.who for one in german.cautions)
    for one in german.cautions:
        assert "\N{SOFT HYPHEN}" not in one.short + one.full
