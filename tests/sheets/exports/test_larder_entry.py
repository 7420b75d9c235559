"""One ingredient with where each value comes from."""

from classpack.cli import main
from classpack.places import own_folder
from classpack.reading.larder_file import merged, package_larder, read_larder
from classpack.sheets.exports.larder_entry import entry_lines


def shown(one, *names):
    return [(line.name, line.value, line.origin) for line in entry_lines(one) if line.name in names]


def test_a_shipped_value_names_its_row():
    salt = package_larder()["fine salt"]
    assert shown(salt, "allergens", "sodium in 100 g", "a teaspoon") == [
        ("allergens", "none stated", "set for the shipped larder"),
        ("a teaspoon", "6 g", "USDA SR28 (2015), row 02047"),
        ("sodium in 100 g", "38.758 g", "USDA SR28 (2015), row 02047"),
    ]


def test_an_own_value_says_so():
    own = read_larder(
        "ingredients:\n  butter: {allergens: milk, packs: [250 g at 2.10], tablespoon: 14 g}\n",
        "l.yaml",
    )
    butter = merged(package_larder(), own)["butter"]
    assert shown(butter, "allergens", "pack", "a teaspoon", "aisle") == [
        ("aisle", "dairy and eggs", "set for the shipped larder"),
        ("allergens", "milk", "your larder"),
        ("a teaspoon", "4.67 g", "your larder"),
        ("pack", "250 g, 2.10", "your larder"),
    ]


def test_every_shipped_ingredient_can_be_shown_and_none_is_called_free_of_anything():
    for one in package_larder().ingredients:
        lines = entry_lines(one)
        assert len(lines) >= 5
        assert all(line.value and line.origin for line in lines), one.name
        assert not any("-free" in line.value or "free from" in line.value for line in lines), (
            one.name
        )


def test_the_terminal_shows_an_ingredient_and_names_the_nearest_for_a_slip(capsys):
    path = str(own_folder("lessons") / "saturday-twelve.yaml")
    assert main(["show", path, "--ingredient", "olive oil"]) == 0
    shown_lines = capsys.readouterr().out.splitlines()
    assert shown_lines[0] == "olive oil"
    packs = [line.split() for line in shown_lines if line.lstrip().startswith("pack")]
    assert packs[0] == ["pack", "500", "ml,", "GBP", "5.20", "(your", "larder)"]
    assert main(["show", path, "--ingredient", "olive oyl"]) == 1
    assert capsys.readouterr().err.splitlines()[0] == (
        f"{path}:1:1: no ingredient 'olive oyl' in the larder; did you mean 'olive oil'?"
    )
