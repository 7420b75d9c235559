"""Damaged files end in words at their place: three hundred cases, and all that failed once. Twenty thousand by hand: ``tests.fuzz``."""

from __future__ import annotations

import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz import MOST_MEMORY_MB, READERS, Bench, Case, batch, corpus


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return Bench(tmp_path_factory.mktemp("bench"))


@pytest.mark.parametrize("reader", READERS)
def test_every_reader_takes_its_files_as_they_are(bench: Bench, reader: str) -> None:
    """Else the damage would be done to files that are refused anyway."""
    for file in READERS[reader][0]:
        assert bench.run(Case(file, bench.files[file], ("read", reader))) == (
            "",
            f"read {reader}, ended with 0",
        )


@given(st.integers(0, 10**9))
@settings(
    max_examples=270,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_damaged_files_end_in_words(bench: Bench, seed: int) -> None:
    case = bench.reader_case(random.Random(seed))
    wrong, _ = bench.run(case)
    assert not wrong, case


@pytest.mark.parametrize("seed", range(2))
def test_damaged_classes_end_in_words(seed: int) -> None:
    """The whole of ``check`` and ``make``, each batch in a folder of its own; and no process grows."""
    ends, failed, memory = batch((seed, 15, False, "commands"))
    assert not failed, failed[0]
    assert ends.total() == 15
    assert memory < MOST_MEMORY_MB + 400, "MB, of a process that holds the test suite as well"


def test_what_failed_once_fails_no_more(bench: Bench) -> None:
    failed = [(case, wrong) for case in corpus() if (wrong := bench.run(case)[0])]
    assert not failed
