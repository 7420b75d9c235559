"""What classpack is built from and shipped as: bounds, private names it leans on, licences, wheel and sdist, the lock for CI."""

from __future__ import annotations

import csv
import hashlib
import importlib.util
import os
import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import jinja2
import pytest
from jinja2.sandbox import ImmutableSandboxedEnvironment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version
from reportlab.pdfbase import pdfdoc, ttfonts

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
LICENCES = (ROOT / "classpack" / "data" / "LICENCES.md").read_text("utf-8")
LOCK = ROOT / ".ci" / "lock.txt"


def test_every_run_time_package_has_both_bounds_and_a_reason() -> None:
    """Data that grows older (the tz database) has no upper one."""
    reasons = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## Run-time packages")[2]
    for text in PROJECT["dependencies"]:
        one = Requirement(text)
        bounds = {spec.operator for spec in one.specifier}
        assert bounds == ({">="} if one.name == "tzdata" else {">=", "<"}), text
        assert f"`{one.name}`" in reasons.partition("\n## ")[0], text


def test_the_private_names_that_are_leaned_on_are_there() -> None:
    """reportlab 5.1: the font's text map is made by a module's function, and a page drops keys that are not in its list.

    jinja2 3.1: the hooks of ``pages/template_limits.py``; what they do is tested there.
    """
    assert callable(ttfonts.makeToUnicodeCMap)
    assert {"StructParents", "Tabs"} <= set(pdfdoc.PDFPage.__NoDefault__)
    assert hasattr(ttfonts.TTFont, "State")
    for name in ("_generate", "_load_template"):
        assert callable(getattr(jinja2.Environment, name))
    for name in ("wrap_str_format", "call", "call_binop"):
        assert callable(getattr(ImmutableSandboxedEnvironment, name))


def test_every_source_of_data_and_every_font_has_its_licence_on_one_page() -> None:
    with (ROOT / "classpack" / "data" / "larder.csv").open(encoding="utf-8", newline="") as stream:
        sources = {row["source"] for row in csv.DictReader(stream)}
    named = {
        "USDA SR28 (2015)": "Standard Reference, Release 28 (2015)",
        "USDA FoodData Central Foundation Foods (October 2024)": "Foundation Foods (October 2024)",
        "UK CoFID (2015)": "UK CoFID (2015)",
        "Anses Ciqual table (2017)": "Anses Ciqual table (2017)",
    }
    assert {one for one in sources if not one.startswith("no row in")} == named.keys()
    assert all(words in LICENCES for words in named.values())
    for path in (ROOT / "classpack" / "data").iterdir():
        assert path.name == "LICENCES.md" or f"`{path.name}`" in LICENCES, path.name
    fonts = [path.name for path in (ROOT / "templates" / "fonts").glob("*.ttf")]
    assert all(re.fullmatch(r"SS3-\w+\.ttf", name) for name in fonts)
    licence = (ROOT / "templates" / "fonts" / "OFL.txt").read_text("utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


def test_the_lock_holds_every_package_within_its_bounds_and_by_hash() -> None:
    if not LOCK.is_file():
        pytest.skip("an sdist has no lock")
    text = LOCK.read_text("utf-8")
    pinned = dict(re.findall(r"^([A-Za-z0-9_.-]+)==(\S+)", text, re.MULTILINE))
    locked = {canonicalize_name(name): Version(version) for name, version in pinned.items()}
    extras = PROJECT["optional-dependencies"]
    wanted = [*PROJECT["dependencies"], *(one for some in extras.values() for one in some)]
    for one in map(Requirement, wanted):
        assert locked[canonicalize_name(one.name)] in one.specifier, one
    blocks = re.split(r"\n(?=[A-Za-z0-9])", text)
    assert all("--hash=sha256:" in block for block in blocks if "==" in block.split("\n")[0])
    assert "://" not in text, "a lock names no address"


# ---------------------------------------------------------------- wheel and sdist


def built(folder: Path, env: dict[str, str], umask: int) -> dict[str, Path]:
    """Wheel and sdist by their kinds."""
    if importlib.util.find_spec("hatchling") is None:
        pytest.skip("hatchling, which builds the wheel, is not installed")
    if not (ROOT / "pyproject.toml").is_file():
        pytest.skip("no source tree")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-d", str(folder)],
        cwd=ROOT, env=os.environ | env, umask=umask, check=True, capture_output=True,
    )  # fmt: skip
    return {"wheel": next(folder.glob("*.whl")), "sdist": next(folder.glob("*.tar.gz"))}


@pytest.fixture(scope="module")
def packages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    return built(tmp_path_factory.mktemp("first"), {"TZ": "Pacific/Auckland"}, 0o022)


def shipped(folder: str) -> set[str]:
    return {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and not path.name.startswith(".")
    }


def test_the_wheel_holds_all_that_runs_and_nothing_else(packages: dict[str, Path]) -> None:
    names = set(zipfile.ZipFile(packages["wheel"]).namelist())
    inside = {name for name in names if ".dist-info/" not in name}
    data = {f"classpack/_data/{name}" for name in shipped("templates") | shipped("lessons")}
    assert inside == shipped("classpack") | data
    info = {name.partition(".dist-info/")[2] for name in names - inside}
    assert info >= {
        "METADATA", "RECORD", "entry_points.txt", "licenses/classpack/data/LICENCES.md",
        "licenses/templates/fonts/OFL.txt",
    }  # fmt: skip


def test_the_sdist_holds_what_the_tests_need(packages: dict[str, Path]) -> None:
    with tarfile.open(packages["sdist"]) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    wanted = [shipped(folder) for folder in ("classpack", "templates", "lessons", "tests")]
    assert names >= set().union(*wanted) | {"README.md", "DEVELOPERS.md", "pyproject.toml"}


def test_wheel_and_sdist_are_the_same_bytes_however_they_are_built(
    packages: dict[str, Path], tmp_path: Path
) -> None:
    env = {"TZ": "America/New_York", "PYTHONHASHSEED": "99", "LC_ALL": "C"}
    again = built(tmp_path, env, 0o077)
    for kind, path in packages.items():
        first, second = (hashlib.sha256(one.read_bytes()).hexdigest() for one in (path, again[kind]))  # fmt: skip
        assert first == second, kind
