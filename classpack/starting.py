"""A new folder to begin with: the examples, or a lesson made of a pasted recipe."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from classpack.errors import LessonError, Problem, Spot
from classpack.model.regions import REGIONS
from classpack.pack_folder import write_new_folder
from classpack.places import own_folder, read_text
from classpack.reading.larder_file import package_larder
from classpack.reading.recipe.lesson_text import recipe_files
from classpack.reading.recipe.whole_recipe import read_recipe
from classpack.reading.sections import nearest


def start_folder(folder: Path) -> Path:
    """Copy the example lessons, kitchens, larders and class days into ``folder``.

    Raises:
        LessonError: the folder holds something already, or cannot be written.
    """
    paths = sorted(own_folder("lessons").glob("*"))
    write_new_folder(
        folder, {path.name: path.read_bytes() for path in paths if path.suffix in (".yaml", ".csv")}
    )
    return folder


@dataclass(frozen=True, slots=True)
class Started:
    """What ``start --recipe`` says: every line that asks or was not understood, and how many lines there were of each."""

    told: tuple[str, ...]
    counted: str
    class_file: str


def start_recipe(folder: Path, recipe_file: Path, region: str) -> Started:
    """A lesson from a pasted recipe, in a new ``folder`` with a larder, a kitchen and a class day.

    Raises:
        LessonError: the recipe cannot be read or is none, the region is not known, or the folder holds something already.
    """
    shown = str(recipe_file)
    if region not in REGIONS:
        raise LessonError(
            [Problem(Spot(shown, 1), f"the region is '{region}'", nearest(region, REGIONS))]
        )
    larder = package_larder()
    larder = replace(larder, measures=larder.measures.written_for(region), _by_name={})
    recipe = read_recipe(read_text(recipe_file, shown), shown, region, larder)
    made = recipe_files(recipe, larder, REGIONS[region])
    write_new_folder(folder, {name: text.encode() for name, text in made.files.items()})
    counted = ", ".join(f"{number} lines {name}" for name, number in recipe.counted().items())
    return Started(made.told, counted, made.class_file)
