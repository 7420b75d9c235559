"""Compiled templates: kept and used again, never trusted when they are old, damaged or somebody else's, never in the tutor's folder."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import jinja2
import pytest

from classpack.pages import compiled
from classpack.pages.template_limits import LimitedEnvironment
from classpack.pages.templates import Templates
from classpack.places import own_folder


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A tutor's own templates."""
    folder = tmp_path / "own"
    shutil.copytree(own_folder("templates"), folder)
    (folder / "pdf" / "note.xml").write_text('<text>{{ "1.5" | capital }}</text>', "utf-8")
    return folder


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place of compiled templates of the test's own."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    folder = tmp_path / "kept"
    monkeypatch.setattr(compiled, "cache_from_source", lambda path: str(folder / "here" / "x.pyc"))
    return folder / "here" / compiled.FOLDER


def count_compiling(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    compiling: list[str] = []
    generate = LimitedEnvironment._generate

    def counted(
        self: LimitedEnvironment, source: object, name: str, *args: object, **named: object
    ) -> str:
        compiling.append(name)
        return generate(self, source, name, *args, **named)

    monkeypatch.setattr(LimitedEnvironment, "_generate", counted)
    return compiling


def test_a_template_is_compiled_once(own: Path, place: Path, monkeypatch) -> None:
    compiling = count_compiling(monkeypatch)
    first = Templates(own).fill("pdf/note.xml")
    assert Templates(own).fill("pdf/note.xml") == first
    assert compiling == ["pdf/note.xml"]
    assert [path.suffix for path in place.iterdir()] == [".bin"]


def test_a_changed_template_is_compiled_anew(own: Path) -> None:
    Templates(own).fill("pdf/note.xml")
    (own / "pdf" / "note.xml").write_text("<text>other</text>", "utf-8")
    assert "other" in Templates(own).fill("pdf/note.xml")


@pytest.mark.parametrize("damage", [b"", b"j2", b"\x00" * 200, b"j2" + b"\x80\x05" * 30])
def test_a_damaged_one_is_compiled_anew(own: Path, place: Path, damage: bytes) -> None:
    first = Templates(own).fill("pdf/note.xml")
    (kept,) = place.iterdir()
    for data in (damage, kept.read_bytes()[:-7]):
        kept.write_bytes(data)
        assert Templates(own).fill("pdf/note.xml") == first


def test_another_version_of_what_compiles_does_not_count(own: Path, monkeypatch) -> None:
    compiling = count_compiling(monkeypatch)
    Templates(own).fill("pdf/note.xml")
    monkeypatch.setattr(jinja2.compiler, "__file__", __file__)
    Templates(own).fill("pdf/note.xml")
    assert compiling == ["pdf/note.xml"] * 2


def test_without_a_place_it_is_only_slower(own: Path, place: Path, monkeypatch) -> None:
    blocked = own.parent / "file"
    blocked.write_text("", "utf-8")
    monkeypatch.setattr(compiled, "cache_from_source", lambda path: str(blocked / "x.pyc"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    assert compiled.compiled_templates() is None
    assert Templates(own).fill("pdf/note.xml")


def test_the_folder_of_caches_comes_second(own: Path, monkeypatch) -> None:
    blocked = own.parent / "file"
    blocked.write_text("", "utf-8")
    monkeypatch.setattr(compiled, "cache_from_source", lambda path: str(blocked / "x.pyc"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(own.parent / "caches"))
    Templates(own).fill("pdf/note.xml")
    assert list((own.parent / "caches" / "classpack" / compiled.FOLDER).iterdir())


def test_what_others_may_write_is_not_run(own: Path, place: Path, monkeypatch) -> None:
    place.mkdir(parents=True)
    os.chmod(place, 0o777)
    monkeypatch.setenv("XDG_CACHE_HOME", str(own.parent / "caches"))
    Templates(own).fill("pdf/note.xml")
    assert not list(place.iterdir())


def test_where_python_keeps_nothing_nothing_is_kept(monkeypatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert compiled.compiled_templates() is None


def test_the_tutors_folder_is_left_as_it_is(own: Path) -> None:
    before = sorted(own.rglob("*"))
    Templates(own).fill("pdf/note.xml")
    assert sorted(own.rglob("*")) == before


def test_a_compiled_template_serves_every_language(own: Path) -> None:
    """Nothing that depends on the language's filters is worked out while compiling: the comma of 1.5 is the language's."""
    (own / "pdf" / "note.xml").write_text("<text>{{ 3 | fixed }}</text>", "utf-8")
    said = [
        Templates(own, language, {"fixed": lambda value, language=language: language}).fill(
            "pdf/note.xml"
        )
        for language in ("en", "de", "en")
    ]
    assert said == ["<text>en</text>", "<text>de</text>", "<text>en</text>"]
