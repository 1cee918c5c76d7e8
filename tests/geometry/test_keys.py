"""What files may say is described once: readers ask for nothing that is not, and a JSON Schema made
of it takes every bundled example."""

from __future__ import annotations

import copy
from collections import defaultdict
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from soapfilm.cli.demo import bundled, is_joint, is_member
from soapfilm.geometry.keys.key import FILES, Key, file_kind
from soapfilm.geometry.keys.lookup import found, nearest
from soapfilm.geometry.keys.schema import schema_of
from soapfilm.geometry.profiles.by_name import PROFILES, profile_attributes
from soapfilm.geometry.section_file import load_section
from soapfilm.geometry.section_file.entry import Entry
from soapfilm.geometry.section_file.text import parsed
from soapfilm.geometry.units import QUANTITIES
from soapfilm.solver.joint.joint_file import load_joints
from soapfilm.solver.member.file import load_member

EXAMPLES = bundled()
PLAIN = (
    "number", "whole number", "text", "true or false", "length", "angle", "list", "table",
    "position", "positions", "point", "freedom", "anything", "choice", "kelvin", "per kelvin",
)  # fmt: skip
#: Tables whose keys are names of the user's own: nothing to describe.
OWN = ("points", "loads", "factors", "patterns", "creep", "profile")
#: How the reader asks, and what a key that is asked so may hold.
ASKED = {
    "flag": ("true or false", "anything"),
    "length": ("length", "anything", "point", "positions", "position"),
    "angle": ("angle",),
    "plain": ("number", "whole number", "anything"),
}


def _kind(text: str) -> str:
    return "member" if is_member(text) else "joint" if is_joint(text) else "section"


def _keys() -> Iterator[tuple[str, str, Key]]:
    for name in FILES:
        for table in file_kind(name).tables:
            for key in table.keys:
                yield name, table.name, key


@pytest.fixture(scope="module")
def asked() -> dict[tuple[str, str], list[tuple[str, tuple[Any, ...]]]]:
    """All that readers ask of the tables of the bundled examples: table, key; how, with what."""
    calls: dict[tuple[str, str], list[tuple[str, tuple[Any, ...]]]] = defaultdict(list)
    with pytest.MonkeyPatch.context() as patch:
        for how in (
            "has",
            "need",
            "text",
            "choice",
            "plain",
            "flag",
            "length",
            "quantity",
            "angle",
        ):
            patch.setattr(Entry, how, _noted(getattr(Entry, how), how, calls))
        folder = Path(str(files("soapfilm.cli") / "examples"))
        for name, text in EXAMPLES.items():
            load = {"member": load_member, "joint": load_joints, "section": load_section}
            load[_kind(text)](folder / f"{name}.toml")
    return calls


def _noted(method: Any, how: str, calls: Any) -> Any:
    def noted(self: Entry, key: str, *rest: Any, **more: Any) -> Any:
        calls[self.kind, key].append((how, rest))
        return method(self, key, *rest, **more)

    return noted


def test_every_key_that_readers_ask_for_is_described(asked: Any) -> None:
    known: dict[str, dict[str, Key]] = defaultdict(dict)
    for _, table, key in _keys():
        known[table][key.name] = key
    assert len(asked) > 250
    for (table, name), ways in asked.items():
        if table in OWN or not table:
            continue
        described = known["" if table == "file" else table]
        assert name in described, f"[{table}] {name} lacks words in geometry/keys"
        key = described[name]
        for how, rest in ways:
            if how == "choice":
                assert set(rest[0]) == set(key.choices), (table, name)
            elif how == "quantity":
                assert key.holds in (rest[0], "anything", "freedom"), (table, name)
            elif how in ASKED:
                assert key.holds in ASKED[how], (table, name, how)


def test_every_key_is_told_in_words_with_what_it_holds() -> None:
    for file, table, key in _keys():
        place = f"{file} [{table}] {key.name}"
        assert key.words, place
        assert not key.words.endswith("."), place
        assert key.holds in PLAIN or key.holds in QUANTITIES, place
        assert bool(key.choices) == (key.holds == "choice"), place
        if key.example:
            value = parsed(f"x = {key.example}")["x"]
            schema = schema_of(file_kind(file))
            assert value is not None
            jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_schema_takes_every_example_and_refuses_a_slip(name: str) -> None:
    table = parsed(EXAMPLES[name])
    validator = jsonschema.Draft202012Validator(schema_of(file_kind(_kind(EXAMPLES[name]))))
    validator.validate(table)
    wrong = copy.deepcopy(table)
    wrong["unitt"] = "mm"
    assert not validator.is_valid(wrong)
    key = next(k for k, v in table.items() if isinstance(v, list))
    wrong = copy.deepcopy(table)
    wrong[key][0]["a slip"] = 1
    assert not validator.is_valid(wrong)


def test_every_attribute_of_every_profile_is_described() -> None:
    keys = {key.name: key for key in file_kind("section").named("shape").keys}
    for profile in PROFILES:
        for attribute in profile_attributes(profile):
            assert keys[attribute.ifc].holds == ("angle" if attribute.is_angle else "length")


def test_a_word_finds_keys_tables_and_meanings() -> None:
    assert [(f.name, t.name) for f, t, k in found("taper_to") if k] == [("member", "segment")]
    assert any(k is None for _, _, k in found("[[deck]]"))
    assert any(k is not None and k.name == "holds_down" for _, _, k in found("uplift"))
    assert found("xyzzy") == []
    assert "spacing" in nearest("spaceing")
