"""Sets of combinations of standards, each summed for a few actions."""

from __future__ import annotations

from collections.abc import Mapping

from soapfilm.solver.rules.action_kind import Action, Combined
from soapfilm.solver.rules.american_combinations import ALLOWABLE, american_combinations
from soapfilm.solver.rules.european_combinations import STATES, european_combinations, psi_of

from .figure import Figure, figures
from .registry import Found, Topic

COMBINED = Topic(
    "Combinations of actions",
    "Factors of EN 1990 and ASCE 7, from memory of them; sums by hand.",
)
KINDS = {
    "D": "permanent", "L": "live", "Lr": "roof live", "S": "snow", "W": "wind", "E": "earthquake",
}  # fmt: skip


def largest(one: Combined, sizes: Mapping[str, float]) -> float:
    """All actions with their unfavourable factors."""
    return sum(high * sizes[name] for name, (_, high) in one.factors.items())


@COMBINED.check("comb_en", within=1e-9)
def european(figure: Figure) -> Found:
    """Strength and service of a building."""
    sizes = {name: figure.inputs[name] for name in ("G", "Q", "W")}
    actions = [Action("G", "permanent"), Action("Q", "imposed B"), Action("W", "wind")]
    by_name = {c.name: c for c in european_combinations(actions, STATES, "building")}
    lead = by_name["strength 6.10: W leading, with Q"]
    favourable = lead.factors["G"][0] * sizes["G"] + lead.factors["W"][1] * sizes["W"]
    strength = [
        "strength 6.10: Q leading, with W", "strength 6.10: W leading, with Q",
        "strength 6.10a, with Q, W", "strength 6.10b: Q leading, with W",
    ]  # fmt: skip
    service = [
        "characteristic: Q leading, with W", "frequent: Q leading", "quasi-permanent",
    ]  # fmt: skip
    sums = [[largest(by_name[n], sizes) for n in names] for names in (strength, service)]
    return Found.several([*sums[0], favourable, *sums[1]])


#: Kinds of actions in the order of the figures.
_PSI = {
    "psi_buildings": (
        "building", "imposed A", "imposed C", "imposed E", "imposed F", "imposed G", "roof", "snow",
        "wind", "temperature",
    ),
    "psi_footbridge": (
        "footbridge", "traffic", "concentrated", "vehicle", "wind", "temperature", "snow",
        "construction",
    ),
    "psi_road": ("road bridge", "vehicle", "traffic", "footway", "wind", "temperature"),
}  # fmt: skip


#: psi_1 of a footbridge while it is built, which the source leaves open.
_OPEN = (("psi_footbridge", "snow"), ("psi_footbridge", "construction"))


@COMBINED.check({name: name for name in _PSI}, within=1e-12)
def factors_of_accompanying_actions(name: str) -> Found:
    """psi_0, psi_1 and psi_2 of each kind that are not 0, but those that the source leaves
    open."""
    structure, *kinds = _PSI[name]
    found: list[float] = []
    for kind in kinds:
        psi = psi_of(Action("one", kind), structure)
        found += (psi[0], psi[2]) if (name, kind) in _OPEN else psi
    return Found.several(psi for psi in found if psi)


def numbered(figure: Figure, edition: str) -> dict[str, float]:
    """The largest sum of each number of the edition."""
    actions = [Action(name, kind) for name, kind in KINDS.items() if name in figure.inputs]
    found: dict[str, float] = {}
    for one in american_combinations(actions, edition):
        number = one.name.split()[1].rstrip(":,")
        found[number] = max(found.get(number, 0.0), largest(one, figure.inputs))
    return found


@COMBINED.check({"comb_asce16": "ASCE 7-16", "comb_asce22": "ASCE 7-22"}, within=1e-9)
def american(edition: str) -> Found:
    """Strength, in order."""
    figure = figures()["comb_asce16"]
    sums = numbered(figure, edition)
    return Found.several(sums[str(n)] for n in range(1, 8))


@COMBINED.check("comb_asd", within=1e-9)
def allowable(figure: Figure) -> Found:
    """Five of allowable stress."""
    sums = numbered(figure, ALLOWABLE)
    return Found.several(sums[n] for n in ("6", "7", "5", "9", "10"))
