"""The table of a member's modes: frequencies, names, masses, the screen of walking, cautions."""

from __future__ import annotations

import numpy as np

from ...solver.member.vibration.motion import MOTIONS
from ...solver.member.vibration.participation import DIRECTIONS
from ...solver.member.vibration.walking import CAUTION, SOURCE
from ..text import caution
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from ..text.rendering import folded, render_passage, titled
from .result import ModesResult

#: Loads named before "and so many more".
_NAMED = 4
#: Share of the mass in a direction that should be moved by the modes shown, where they are summed.
_MOST_OF_IT = 0.9
#: A frequency below this share of that with sections that keep their shape is told apart.
_BELOW = 0.9


def modes_table(result: ModesResult) -> str:
    """The table as text."""
    parts = ["\n".join(titled(f"{result.vibration.member.name}: natural frequencies")) + "\n"]
    for heading, passage in passages(result).items():
        body = render_passage(passage)
        parts.append("\n".join([*titled(heading, "-"), body]))
    parts.append(folded(notes(result), "* "))
    return "\n".join(parts)


def passages(result: ModesResult) -> dict[str, Passage]:
    """All blocks by heading."""
    return {
        "Mass": mass(result),
        "Modes": modes(result),
        "Effective modal masses": masses(result),
        "People walking": walking(result),
    }


def mass(result: ModesResult) -> Passage:
    """What vibrates, and what does not."""
    vibration = result.vibration
    units = result.units
    total = f"{number(vibration.participation.mass, 5)} {vibration.units.mass}"
    texts = [
        f"{total} vibrate: the sections by their densities (times the factor of self-weight), "
        "loads marked as mass, masses and diaphragms."
    ]
    if vibration.left_out:
        shown = ", ".join(vibration.left_out[:_NAMED])
        more = len(vibration.left_out) - _NAMED
        texts.append(
            f"No mass, because as_mass is not set: {shown}"
            + (f" and {more} more." if more > 0 else ".")
        )
    texts.append(f"The member is {units.text(vibration.member.length, 'along')} long.")
    return [Sentences(texts)]


def modes(result: ModesResult) -> Passage:
    """Frequencies, names, generalised masses and nodes."""
    vibration, units = result.vibration, result.units
    shapes = result.outlines.shapes
    rows = []
    for k, (f, name) in enumerate(zip(vibration.frequencies, vibration.names, strict=True)):
        nodes = [units.value(float(z), "along") for z in result.nodes[k]]
        rows.append(
            (
                str(k + 1),
                name,
                hertz(float(f)),
                number(float(1 / f), 4),
                number(float(shapes.generalised_mass[k]), 4),
                units.value(float(shapes.largest_at[k]), "along"),
                ", ".join(nodes[:6]) + (" ..." if len(nodes) > 6 else "") or "none",
            )
        )
    along, kg = units.unit("along"), vibration.units.mass
    grid = HeadedRows(
        ("mode", "moves", "frequency", "period", "modal mass", "largest at", "nodes at"),
        ("", "", "Hz", "s", kg, along, along),
        rows,
        2,
    )
    rule = (
        "A mode is named after the motion that has 80 % or more of its kinetic energy "
        "(vertical, lateral, torsional, axial, distortional), else it is coupled. The modal mass "
        "goes with a largest displacement of 1 anywhere on the member."
    )
    return [grid, Sentences([rule])]


def masses(result: ModesResult) -> Passage:
    """Shares of kinetic energy, and effective masses by direction with their sums."""
    vibration = result.vibration
    part = vibration.participation
    share = part.effective / part.mass
    rows = []
    for k, energy in enumerate(vibration.motion.shares):
        rows.append(
            (
                str(k + 1),
                *(_percent(s) for s in energy),
                *(_percent(s) for s in share[k]),
            )
        )
    rows.append(("sum", *[""] * len(MOTIONS), *(_percent(s) for s in share.sum(axis=0))))
    grid = HeadedRows(
        ("mode", *MOTIONS, *DIRECTIONS),
        ("", *["% of energy"] * len(MOTIONS), *["% of mass"] * len(DIRECTIONS)),
        rows,
        1,
    )
    words = (
        "Effective masses are shares of all that vibrates, along the chord from start to end, "
        "across it and vertically; over all modes each column adds up to 100 %."
    )
    return [grid, Sentences([words])]


def walking(result: ModesResult) -> Passage:
    """The screen for bridges that people walk on."""
    vibration = result.vibration
    rows = [
        (
            str(r.mode + 1),
            vibration.names[r.mode],
            hertz(float(vibration.frequencies[r.mode])),
            str(r.risk),
            r.words,
        )
        for r in result.screen
    ]
    grid = HeadedRows(
        ("mode", "moves", "frequency", "risk", "screen"), ("", "", "Hz", "1 to 4", ""), rows
    )
    return [grid, Sentences([f"{CAUTION} Source: {SOURCE}."])]


def notes(result: ModesResult) -> list[str]:
    """What was taken for granted, how far the figures can be trusted, and the caution."""
    vibration = result.vibration
    found = list(vibration.notes)
    found.append(
        "no frequency below the last one shown is missing: the negative pivots of "
        "K - omega² M count them"
    )
    if vibration.alone:
        found.append(f"sections keep their shape here: {vibration.alone}")
    if not np.isnan(vibration.order_change):
        words = (
            "the last order along the member changed the frequencies by "
            f"{_small(vibration.order_change)} at most"
        )
        if not np.isnan(vibration.mode_change):
            words += f", the last slow modes of the sections by {_small(vibration.mode_change)}"
        found.append(words)
    if len(vibration.kept_shape):
        beside = ", ".join(hertz(float(f)) for f in vibration.kept_shape)
        words = f"with sections that keep their shape the frequencies are {beside} Hz"
        count = min(len(vibration.kept_shape), len(vibration.frequencies))
        ratio = vibration.frequencies[:count] / vibration.kept_shape[:count]
        if (ratio < _BELOW).any():
            words += (
                "; where ours are well below, the section distorts as it moves (its walls bend), "
                "which models of rigid sections leave out: diaphragms bring them closer"
            )
        found.append(words)
    share = vibration.participation.effective.sum(axis=0) / vibration.participation.mass
    short = [d for d, s in zip(DIRECTIONS, share, strict=True) if s < _MOST_OF_IT]
    if short:
        found.append(
            f"these modes move less than 90 % of the mass {' and '.join(short)}: ask for more "
            "modes (--modes) where they are summed, as for earthquakes"
        )
    found.append(
        "decks, secondary beams and rigid diaphragms without a stated mass stiffen and have no "
        "mass of their own: give theirs by loads, masses or the diaphragm's mass"
        + ("" if vibration.course else "; so do plates and frames where sections keep their shape")
    )
    found.append(caution.MEMBER)
    return found


def hertz(frequency: float) -> str:
    """A frequency to four digits, zeros among them."""
    return f"{frequency:#.4g}".rstrip(".")


def _percent(share: float) -> str:
    return f"{100 * share + 0.0:.1f}".replace("-0.0", "0.0")


def _small(change: float) -> str:
    return f"{100 * change:.2g} %" if change >= 5e-6 else "less than 0.001 %"
