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
from soapfilm.geometry.keys.description import FILES, Key, file_kind
from soapfilm.geometry.keys.lookup import found, nearest
from soapfilm.geometry.keys.schema import schema_of
from soapfilm.geometry.profiles.by_name import PROFILES, profile_attributes
from soapfilm.geometry.section_file import load_section
from soapfilm.geometry.section_file.entry import Entry
from soapfilm.geometry.section_file.text import parsed
from soapfilm.geometry.units import QUANTITIES
from soapfilm.solver.joint.joint_file import load_joints
from soapfilm.solver.member.file import load_member, member_from_toml

EXAMPLES = bundled()
#: What no bundled example has.
RARE = """
unit = "mm"
[material.card]
E = "3 GPa"
nu = 0.3
density = "700 kg/m^3"
thermal_expansion = "1e-5 1/K"
[section.strip]
[[section.strip.shape]]
profile = "RectangleHollow"
XDim = 200
YDim = 300
WallThickness = 10
material = "card"
[[span]]
length = "8 m"
[[support]]
name = "left"
at = "start"
kind = "fixed"
[[support]]
at = "end"
bearings = [{ x = -80 }, { x = 80, y = -150, stiffness = "200 kN/mm", holds_down = true }]
[[support]]
at = "5 m"
kind = "bearing pair"
spacing = 150
clearance_arm = 100
clearance = 1
[[hinge]]
at = "2 m"
kind = "pin"
[[diaphragm]]
at = "3 m"
thickness = 8
[[diaphragm]]
at = "6 m"
bars = [{ from = [-90, -140], to = [90, 140], area = "2 cm^2" }]
[self_weight]
[[load]]
case = "dead"
weight = "0.2 kN/m"
place = "top"
[[mass]]
at = "3 m"
mass = "10 kg"
[[temperature]]
uniform = "20 K"
[[shrinkage]]
strain = 0.0001
[[settlement]]
support = "left"
down = 2
[[tendon]]
force = "10 kN"
points = [{ at = "start", y = -80 }, { at = "end", y = -80 }]
[[wind]]
pressure = "1 kPa"
[[lane]]
name = "only"
place = [0, 150]
width = 150
[[vehicle]]
axles = [{ at = 0, force = "1 kN" }]
lanes = ["only"]
[[crowd]]
pressure = "1 kPa"
strips = [{ place = [0, 150], width = 100 }, { lane = "only" }]
[[case]]
name = "dead"
kind = "permanent"
[[case]]
name = "wind"
kind = "wind"
[[combination_set]]
code = "EN 1990"
structure = "footbridge"
[welds]
strength = "200 MPa"
[[code]]
family = "EN 1993"
[[code]]
family = "AISC 360"
[[code]]
family = "EN 1992-1-1"
f_ck = "30 MPa"
edge_to_bar = 50
[[limit]]
twist = "2 deg"
"""
PLAIN = (
    "number", "whole number", "text", "true or false", "length", "angle", "list", "table",
    "position", "positions", "point", "freedom", "anything", "choice", "kelvin", "per kelvin",
)  # fmt: skip
#: Tables whose keys are names of the user's own, and lists of points, read as such: nothing to
#: describe.
OWN = ("points", "loads", "factors", "patterns", "creep", "profile", "lines")
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
        member_from_toml(RARE)
        bent = RARE[: RARE.index("[[tendon]]")].replace("[[hinge]]", '[[kink]]\nangle = "3 deg"')
        pieces = '[{ straight = "2 m" }, { transition = "6 m", radius_end = "40 m" }]'
        bent = bent.replace('length = "8 m"', f"plan = {pieces}").replace('kind = "pin"', "")
        member_from_toml(bent)
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
            assert parsed(f"x = {key.example}")["x"] is not None
    for file in FILES:
        jsonschema.Draft202012Validator.check_schema(schema_of(file_kind(file)))


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
