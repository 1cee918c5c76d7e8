"""Random and damaged files: a section, member, joint, study or one sentence, never anything else.

Some hundred inputs here; `make fuzz` runs tens of thousands (see `benchmarks/FUZZ.md`).
"""

from __future__ import annotations

import random
import sys
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.section_file.text import parsed

from .attempt import REFUSED, VALID, attempt, finite
from .campaign import attempted
from .file_attempt import attempt_file
from .inputs import FILE_SOURCES, SOURCES, fuzz_input
from .keyed_texts import keyed_text
from .retyping import replaced
from .seeds import FILES, KINDS, seeds
from .statement_change import restated, written

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


@pytest.mark.parametrize("kind", [".toml", ".cases", *FILES])
def test_restated_files_are_toml_and_say_something_else(kind: str) -> None:
    known = [parsed(data.decode()) for data in seeds(kind)]
    assert all(parsed(written(tree)) == tree for tree in known)
    rng = random.Random(1)
    new = [restated(seeds(kind)[0], rng, seeds(kind)) for _ in range(40)]
    assert sum(parsed(data.decode()) != known[0] for data in new) > 30


def test_a_name_is_retyped_wherever_it_stands() -> None:
    """So that the file stays valid, and tables and figures meet the name."""
    tree = {"case": [{"name": "wind", "not_with": ["wind"]}], "limit": {"wind": {"case": "wind"}}}
    replaced(tree, "wind", "a\nb")
    assert tree == {
        "case": [{"name": "a\nb", "not_with": ["a\nb"]}], "limit": {"a\nb": {"case": "a\nb"}}
    }  # fmt: skip
    for kind in (".joint", ".study", ".size"):
        outcomes = [attempted(f"retyped {kind}", n, commands=False).what for n in range(20)]
        assert 2 <= outcomes.count(VALID) <= 18, kind


@pytest.mark.parametrize("answer", ['{"twist": NaN}', '{"J": -Infinity}'])
def test_numbers_that_are_none_are_seen(answer: str) -> None:
    with pytest.raises(AssertionError, match="in a record"):
        finite(answer)


def test_a_defect_and_a_warning_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a command that meets an error nobody foresaw, or whose numbers overflow on the way."""
    data, kind, unit = seeds(".toml")[-1], ".toml", None

    def defective(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr("soapfilm.cli.pays.run", defective)
    with pytest.raises(AssertionError, match="unexpected ZeroDivisionError"):
        attempt(data, kind, unit, commands=True, turn=1)

    def warned(*_: object, **__: object) -> int:
        print("RuntimeWarning: overflow encountered in multiply", file=sys.stderr)
        return 0

    monkeypatch.setattr("soapfilm.cli.pays.run", warned)
    with pytest.raises(AssertionError, match="overflow"):
        attempt(data, kind, unit, commands=True, turn=1)


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
