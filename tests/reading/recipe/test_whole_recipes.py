"""A pasted recipe becomes a lesson that passes ``check``; every line of it is read, asked or listed."""

import re
from fractions import Fraction as F
from pathlib import Path

import pytest

from classpack.cli import main
from classpack.errors import LessonError
from classpack.reading.larder_file import merged, read_larder
from classpack.reading.lesson_file import read_lesson
from classpack.reading.recipe.whole_recipe import read_recipe
from classpack.reading.shipped_larder import package_larder
from classpack.starting import start_recipe

US = """\
Soft White Sandwich Bread
Makes 1 loaf
1 9x5-inch loaf pan, greased

Ingredients:
- 3 1/2 cups (420 g) bread flour, plus more for dusting
• 1 cup whole wheat flour
1 Tbsp. sugar
1 1/2 teaspoons salt
2¼ tsp active dry yeast (1 packet)
1 ⅔ cups warm water (105–110°F)
2 Tbsp melted butter, plus more for brushing

Directions
1. In a large bowl, combine the flours, sugar, salt and yeast.
2. Add the water and butter and mix until a shaggy dough forms.
3. Knead by hand 8 to 10 minutes, until smooth and elastic.
4. Cover and let rise until doubled, 1 to 1 1/2 hours.
5. Shape into a loaf and place in a greased 9x5-inch loaf pan.
6. Cover and let rise again until 1 inch above the pan, about 45 minutes.
7. Preheat the oven to 350°F. Bake for 35-40 minutes until golden brown.
8. Cool completely on a wire rack.
"""
GERMAN = """\
Bauernbrot
Ergibt 2 Brote
Zutaten
Für den Vorteig:
150 g Weizenmehl Type 550
150 ml Wasser
1 g Hefe
Hauptteig
850 g Weizenmehl Type 550
450 ml lauwarmes Wasser
20 g Salz
1 Würfel Hefe (42 g)
etwas Mehl für die Arbeitsfläche
Zubereitung
Vorteig mischen und 12 Stunden bei Raumtemperatur gehen lassen.
Alle Zutaten mischen und 10 Minuten kneten.
Den Teig abgedeckt 1 Stunde gehen lassen.
Zwei Laibe formen.
Noch einmal 45 Minuten gehen lassen.
Bei 230 °C Ober-/Unterhitze (Umluft 210 °C) 40 Minuten backen.
"""
PERCENT = """\
Country rolls
Makes 12 rolls
Bread flour 90%
Wholemeal flour 10%
Water 68%
Salt 2%
Instant yeast 1%
Mix everything for 5 minutes.
Prove for 1 hour until doubled.
Divide into 12 and shape.
Prove 45 minutes.
Bake at 220C/200C fan/gas 7 for 15-18 minutes.
"""
RECIPES = {"US": US, "EU": GERMAN, "UK": PERCENT}


def started(folder: Path, text: str, region: str):
    paste = folder / "paste.txt"
    paste.write_text(text, "utf-8")
    return start_recipe(folder / "class", paste, region)


def lesson_of(folder: Path):
    larder = merged(
        package_larder(),
        read_larder((folder / "class" / "larder.yaml").read_text("utf-8"), "larder.yaml"),
    )
    text = (folder / "class" / "lesson.yaml").read_text("utf-8")
    return read_lesson(text, "lesson.yaml", larder), text


@pytest.mark.parametrize("region", RECIPES)
def test_the_lesson_passes_check(tmp_path, capsys, region):
    started(tmp_path, RECIPES[region], region)
    assert main(["check", str(tmp_path / "class" / "class.yaml")]) == 0
    assert capsys.readouterr().out.endswith("nothing to mend\n")


@pytest.mark.parametrize("region", RECIPES)
def test_every_pasted_line_is_accounted_for(tmp_path, region):
    text = RECIPES[region]
    recipe = read_recipe(text, "paste.txt", region, package_larder())
    assert len(recipe.lines) == len(text.splitlines())
    assert sum(recipe.counted().values()) == sum(1 for line in text.splitlines() if line.strip())
    started(tmp_path, text, region)
    lesson = (tmp_path / "class" / "lesson.yaml").read_text("utf-8")
    for line in recipe.lines:
        if line.kind in ("ingredient", "percent", "unread"):
            assert line.text.strip() in lesson, line.text


def test_the_recipes_own_cup_weighs_its_other_flours(tmp_path):
    # 420 g to 3 1/2 cups is 120 g a cup; wholemeal at the share of SR28's 120 to plain flour's 125: 115.2 g
    started(tmp_path, US, "US")
    lesson, text = lesson_of(tmp_path)
    percents = {line.ingredient: line.percent for line in lesson.base.formula.lines}
    assert abs(
        percents["strong white flour"] / percents["wholemeal flour"] - F(420) / F("115.2")
    ) < F("0.01")
    assert "this recipe fills its cup with 120 g" in text
    assert "cup of flour: 120 g" in (tmp_path / "class" / "larder.yaml").read_text("utf-8")


def test_steps_keep_the_recipes_words_times_and_heat(tmp_path):
    started(tmp_path, US, "US")
    lesson, text = lesson_of(tmp_path)
    bread = lesson.variations[0]
    assert [step.stage for step in lesson.base.method] == ["mix", "mix", "knead", "bulk proof"]
    assert lesson.base.method[-1].window_min == (60, 90)
    assert [step.stage for step in bread.method] == [
        "shape", "final proof", "load", "bake", "take out", "cool",
    ]  # fmt: skip
    assert bread.bake.minutes == 35
    assert bread.bake.heat.celsius == F(5, 9) * (350 - 32)
    assert bread.vessel.volume_ml == 1947
    assert "bake: 35 min at 350 F" in text


def test_a_preferment_is_a_part_of_the_whole_dough(tmp_path):
    started(tmp_path, GERMAN, "EU")
    lesson, _ = lesson_of(tmp_path)
    percents = {line.ingredient: line.percent for line in lesson.base.formula.lines}
    assert percents == {"type 55 flour": 100, "water": 60, "fresh yeast": F("4.3"), "fine salt": 2}
    (part,) = lesson.base.formula.preferments
    assert (part.kind, part.ripe_min) == ("sponge", (600, 840))
    inside = {line.ingredient: line.percent for line in part.lines}
    assert (inside["type 55 flour"], inside["water"]) == (15, 15)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no line of the text is an ingredient; paste the recipe with its amounts, one ingredient a line, as in '500 g strong white flour'"),
        ("Water bread\n300 g water\n7 g instant yeast\n", "no line of the recipe is a flour; a dough's flours are its 100 %: write each on a line of its own, as in '500 g strong white flour'"),
        ("Sponge\n225 g butter\n225 g caster sugar\n4 eggs\n225 g self-raising flour\n", "nothing in the recipe ferments: it reads as a cake, scone or soda bread; classpack plans doughs that rise with yeast or a starter; add its line if it was left out"),
        ("Odd\nBread flour 80%\nWholemeal flour 10%\nWater 60%\nInstant yeast 1%\n", "the flours of the recipe add up to 90 %; baker's percentages are of all the flour: the flours together are 100 %"),
        ("x\n" * 500, "the recipe has 1000 signs; paste one recipe at a time"),
    ],
)  # fmt: skip
def test_what_is_no_dough_is_refused_in_a_sentence_that_helps(text, message):
    with pytest.raises(LessonError) as caught:
        read_recipe(text, "paste.txt", "UK", package_larder())
    assert str(caught.value) == f"paste.txt:1:1: {message}"


def test_a_recipe_without_salt_is_read_and_remarked(tmp_path, capsys):
    started(tmp_path, "Plain\n500 g strong white flour\n300 g water\n7 g instant yeast\nMix. Let rise 1 hour. Shape. Bake 30 min at 220C.\n", "UK")  # fmt: skip
    assert main(["check", str(tmp_path / "class" / "class.yaml")]) == 0
    assert "there is no salt" in capsys.readouterr().out


def test_what_cannot_be_taken_stops_check_at_its_line(tmp_path, capsys):
    text = "Kosher\n500 g bread flour\n300 g water\n7 g instant yeast\n1½ tsp kosher salt\n200 g gluten-free flour\n"
    made = started(tmp_path, text, "US")
    assert (
        "line 5, asked: 1½ tsp kosher salt: which salt: a spoon of coarse salt weighs half of fine? nothing is taken until you say"
        in made.told
    )
    assert main(["check", str(tmp_path / "class" / "class.yaml")]) == 1
    said = capsys.readouterr().err
    assert re.search(r"lesson\.yaml:\d+:5: 'kosher salt' may be several foods; write which: fine salt \(no allergen\), coarse salt \(no allergen\)", said)  # fmt: skip
    assert re.search(r"lesson\.yaml:\d+:5: no ingredient 'gluten-free flour' in the larder", said)


def test_hostile_lines_are_data(tmp_path):
    text = "A: {b}\n<script>500 g</script> strong white flour\n300 g water\n7 g instant yeast\n- &x *y !z %d: [\nMix {water}: 'now' \"then\" # so.\nBake 30 min at 220C.\n"
    started(tmp_path, text, "UK")
    lesson, _ = lesson_of(tmp_path)
    assert lesson.title == "A: (b)"
    assert (
        "(water)" in lesson.base.method[0].plain_text or "water" in lesson.base.method[0].plain_text
    )


def test_nothing_is_written_over(tmp_path):
    started(tmp_path, PERCENT, "UK")
    with pytest.raises(LessonError):
        started(tmp_path, PERCENT, "UK")
