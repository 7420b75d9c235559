"""The same files give the same bytes: whatever the hash seed, the locale, the time zone, the folder, the umask, the Python."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from classpack.places import own_folder

ROOT = Path(__file__).parents[1]
CLASS = "sunday-bookings.yaml"
PYTHONS = [
    *os.environ.get("CLASSPACK_PYTHONS", "").split(os.pathsep),
    *(found for minor in range(11, 16) if (found := shutil.which(f"python3.{minor}"))),
]
"""Other interpreters. They need the run-time packages; ``CLASSPACK_PYTHONS`` names some that have them."""


def made(folder: Path, python: list[str], env: dict[str, str], umask: int = 0o022) -> str:
    """Make the class in a subprocess; one hash of all its files and their names."""
    folder.mkdir(parents=True)
    for path in own_folder("lessons").iterdir():
        shutil.copyfile(path, folder / path.name)
        os.utime(folder / path.name, (1, time.time()))
    keep = {name: os.environ[name] for name in ("SYSTEMROOT", "PATH") if name in os.environ}
    done = subprocess.run(
        [*python, "-m", "classpack", "make", str(folder / CLASS), "--out", "made"],
        cwd=folder, env=keep | {"PYTHONPATH": str(ROOT)} | env, umask=umask,
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    digest = hashlib.sha256()
    pack = folder / "made" / Path(CLASS).stem
    for path in sorted(path for path in pack.rglob("*") if path.is_file()):
        digest.update(path.relative_to(pack).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


@pytest.fixture(scope="module")
def usual(tmp_path_factory: pytest.TempPathFactory) -> str:
    return made(tmp_path_factory.mktemp("usual") / "class", [sys.executable], {})


@pytest.mark.parametrize(
    ("options", "env", "umask"),
    [
        ([], {"PYTHONHASHSEED": "0", "LC_ALL": "C", "TZ": "Pacific/Auckland", "PYTHONUTF8": "0"}, 0o077),
        (["-OO"], {"PYTHONHASHSEED": "12345", "LC_ALL": "tr_TR.UTF-8", "TZ": "America/New_York"}, 0o022),
        (["-X", "dev"], {"PYTHONHASHSEED": "7", "LC_ALL": "de_DE.UTF-8", "TZ": "Asia/Kathmandu", "COLUMNS": "20"}, 0o027),
    ],
)  # fmt: skip
def test_the_bytes_are_the_same_in_every_environment(
    usual: str, tmp_path: Path, options: list[str], env: dict[str, str], umask: int
) -> None:
    folder = tmp_path / "a folder of another name é" / "deeper"
    assert made(folder, [sys.executable, *options], env, umask) == usual


@pytest.mark.parametrize("minor", range(11, 15))
def test_the_bytes_are_the_same_on_every_python(usual: str, tmp_path: Path, minor: int) -> None:
    if sys.version_info[:2] == (3, minor):
        pytest.skip("the tests run on it")
    ask = "import sys, reportlab, jinja2, yaml, qrcode, PIL.Image; print(sys.version_info[:2] == (3, %d))"
    for python in filter(None, PYTHONS):
        asked = subprocess.run(
            [python, "-c", ask % minor], capture_output=True, text=True, check=False
        )
        if asked.stdout.strip() == "True":
            assert made(tmp_path / "class", [python], {}) == usual
            return
    pytest.skip(f"no Python 3.{minor} here that has the run-time packages; see CLASSPACK_PYTHONS")
