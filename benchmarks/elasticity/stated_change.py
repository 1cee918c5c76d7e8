"""Whether what a member says of its own change holds: beside its distance from 3D elasticity.

Off is the largest difference from the reference, less what the reference itself may be off (three
times what its last order changed); stated is the member's own change (`change_of`). Displacements
are shares of the largest one of the case, stresses of the largest stress that the member states.
Points nearer to loads, supports and ends than the statement reaches are held to the change of the
largest stress.

Run: ``python -m benchmarks.elasticity.stated_change [name ...]`` (a minute for all); writes
stated_change.md, of which only the named cases' rows are made anew.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from soapfilm.solver.member.deforming.change import Change, change_of, stations_away
from soapfilm.solver.member.deforming.envelope import stress_envelope

from benchmarks.deforming_members import solved_case
from tests.deforming.references import Reference, Value, names, near_start, reference

TABLE = Path(__file__).with_suffix(".md")


@dataclass(frozen=True, slots=True)
class Held:
    """Off and stated of displacements, of stresses away and of stresses near."""

    displacement: tuple[float, float]
    away: tuple[float, float]
    near: tuple[float, float]
    raw: tuple[float, float]
    change: Change

    @property
    def holds(self) -> bool:
        """Whether nothing is off by more than stated."""
        return all(off <= stated for off, stated in (self.displacement, self.away, self.near))


def held(known: Reference) -> Held:
    """One case."""
    solution, sections = solved_case(known.case)
    envelope = stress_envelope(solution, sections)
    change = change_of(solution, envelope, sections)
    # Nothing holds some members along z: their u_z is known but for a constant.
    count = 3 if any(s.kind == "fixed" for s in known.case.stations) else 2
    largest = max(abs(c) for v in known.displacements for c in v.value[:2])
    moved = [
        _off(v, solution.displacement([v.at[:2]], [v.at[2]])[0, 0, :, 0], count)
        for v in known.displacements
    ]
    peak = float(envelope.mises.max())
    far, close, all_off = [0.0], [0.0], [0.0]
    for value in known.stresses:
        if value.at[2] > near_start(known):
            found = solution.stress([value.at[:2]], [value.at[2]])[0, 0, :, 0]
            net, whole = _off(value, found, 6)
            away = len(stations_away(solution, envelope, np.array([value.at[2]]))) > 0
            (far if away else close).append(net / peak)
            all_off.append(whole / peak)
    return Held(
        (max(net for net, _ in moved) / largest, change.displacement_anywhere),
        (max(far), change.stress_away),
        (max(close), max(change.stress, change.stress_away)),
        (max(whole for _, whole in moved) / largest, max(all_off)),
        change,
    )


def _off(value: Value, found: np.ndarray, count: int) -> tuple[float, float]:
    """Largest difference of the first components, without and with the reference's own error."""
    off = np.abs(found - value.value)[:count]
    return float(np.maximum(off - np.array(value.error)[:count], 0.0).max()), float(off.max())


def main(chosen: list[str]) -> None:
    lines = [
        "# What members say of their own change, beside 3D elasticity",
        "",
        "Written by `python -m benchmarks.elasticity.stated_change`. Displacements by the largest "
        "of the case, stresses by the largest that the member states. Off: largest difference from "
        "3D. Net: less three times what the last order of the 3D reference changed.",
        "",
        "| case | displacement off | net | stated | stress off | net, away | stated | net, near "
        "| stated | holds |",
        "| --- |" + " ---: |" * 8 + " --- |",
    ]
    old = {line.split("|")[1].strip(): line for line in _rows()}
    for name in names():
        if chosen and name not in chosen and name in old:
            lines.append(old[name])
            continue
        one = held(reference(name))
        figures = [
            one.raw[0], *one.displacement, one.raw[1], *one.away, *one.near,
        ]  # fmt: skip
        cells = " | ".join(f"{100 * f:.3f} %" for f in figures)
        lines.append(f"| {name} | {cells} | {'yes' if one.holds else 'NO'} |")
        print(lines[-1], flush=True)
    TABLE.write_text("\n".join(lines) + "\n")


def _rows() -> list[str]:
    """Rows of the table as it stands."""
    return [line for line in TABLE.read_text().splitlines() if line.startswith("|")]


if __name__ == "__main__":
    main(sys.argv[1:])
