"""Random and damaged files: a section, member, joint, study or one sentence, never anything else.

Some hundred inputs here; `make fuzz` runs tens of thousands (see `benchmarks/FUZZ.md`).
"""

from __future__ import annotations

import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from .attempt import REFUSED, VALID, attempt
from .campaign import attempted
from .file_attempt import attempt_file
from .inputs import FILE_SOURCES, SOURCES, fuzz_input
from .keyed_texts import keyed_text
from .seeds import FILES, KINDS, seeds

#: An input takes milliseconds; this bounds what a loaded machine may need.
SECONDS = 20.0
NUMBERS = st.integers(0, 2**31)


@pytest.mark.parametrize("kind", KINDS)
def test_seeds_are_valid(kind: str) -> None:
    for data in seeds(kind):
        assert attempt(data, kind, "mm" if kind == ".wkt" else None).what == VALID


@pytest.mark.parametrize("source", SOURCES)
@settings(max_examples=45, deadline=None)
@given(number=NUMBERS)
def test_inputs(source: str, number: int) -> None:
    data, kind, unit = fuzz_input(source, number)
    begin = time.perf_counter()
    attempt(data, kind, unit)
    assert time.perf_counter() - begin < SECONDS


@pytest.mark.parametrize("kind", FILES)
def test_what_files_begin_as_is_valid(kind: str) -> None:
    for n in range(3):
        text = keyed_text(random.Random(n), kind[1:], plain=True)
        assert attempt_file(text.encode(), kind).what == VALID, text


@pytest.mark.parametrize("source", FILE_SOURCES)
@settings(max_examples=5, deadline=None)
@given(number=NUMBERS)
def test_files_about_sections(source: str, number: int) -> None:
    attempted(source, number, commands=False)


@pytest.mark.parametrize("source", ["written .joint", "mutated .study"])
def test_files_are_solved(source: str) -> None:
    for number in range(4):
        attempted(source, number, commands=True)


@settings(max_examples=8, deadline=None)
@given(number=NUMBERS)
def test_valid_inputs_are_solved_and_drawn(number: int) -> None:
    for source in ("written .toml", "mutated .toml"):
        attempt(*fuzz_input(source, number), commands=True)


def test_inputs_are_the_same_in_every_run() -> None:
    for source in (*SOURCES, *FILE_SOURCES):
        assert fuzz_input(source, 7) == fuzz_input(source, 7)
        assert len({fuzz_input(source, n)[0] for n in range(30)}) > 10


def test_inputs_reach_beyond_the_first_check() -> None:
    """A generator whose files are all refused at once, or never, would test little."""
    for source in SOURCES:
        if source == "noise":
            continue
        outcomes = [attempt(*fuzz_input(source, n)).what for n in range(40)]
        assert outcomes.count(VALID) >= 2, source
        assert outcomes.count(REFUSED) >= 5, source
