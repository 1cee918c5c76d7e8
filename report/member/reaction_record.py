"""What holds a member, as a record (JSON) and as lines of a CSV file."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from ...solver.member.review.reactions import COMPONENTS, Reactions, components
from ..data_table import DataTable, quiet
from ..files import write_text
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

#: Share of a section's size within which a place is its origin.
_NO_PLACE = 1e-6
_SUMS = ("F_x", "F_y", "F_z", "M_x", "M_y", "M_z")
_QUANTITIES = ("force",) * 3 + ("moment",) * 3 + ("bimoment",)


# -- the record ----------------------------------------------------------------------------------
def reaction_records(assessment: Assessment) -> list[dict[str, Any]]:
    """One record a theory, the one that leads first."""
    return [_record(found) for found in assessment.reactions]


def _record(found: Reactions) -> dict[str, Any]:
    titles = [r.title for r in found.supports[0]] if found.supports else []
    return {
        "theory": found.theory,
        "supports": [_support(found, title) for title in titles],
        "bearings": [
            {
                "support": b.support,
                "at": b.at,
                "x": b.x,
                "side": b.side or None,
                "max": b.most,
                "max_combination": found.names[b.most_under],
                "min": b.least,
                "min_combination": found.names[b.least_under],
                "lifts_under": [found.names[c] for c in b.lifts],
                "hold_down": b.hold_down,
            }
            for b in found.bearings
        ],
        "decks": [
            {
                "deck": d.title,
                "from": d.start,
                "to": d.end,
                "z": d.z.tolist(),
                "combinations": {
                    name: {
                        "torque_per_length": d.torque[:, c].tolist(),
                        "force_x_per_length": d.across[:, c].tolist(),
                        "torque": float(d.total_torque[c]),
                        "force_x": float(d.total_across[c]),
                    }
                    for c, name in enumerate(found.names)
                },
            }
            for d in found.decks
        ],
        "sums": {
            name: {
                "applied": dict(zip(_SUMS, found.applied[:, c].tolist(), strict=True)),
                "second_order": dict(zip(_SUMS, found.moved[:, c].tolist(), strict=True)),
                "held": dict(zip(_SUMS, found.held[:, c].tolist(), strict=True)),
                "out_of_balance": float(found.miss[c]),
            }
            for c, name in enumerate(found.names)
        },
    }


def _support(found: Reactions, title: str) -> dict[str, Any]:
    rows = found.of(title)
    return {
        "support": title,
        "at": rows[0].at,
        "point": list(rows[0].point),
        "combinations": {
            name: dict(zip(COMPONENTS, components(r), strict=True))
            | {
                "T_about_point": r.moment[2],
                "couple": r.couple,
                "bearings": [b.force for b in r.bearings],
                "slip": r.play or None,
            }
            for name, r in zip(found.names, rows, strict=True)
        },
        "envelope": [
            {
                "extreme": f"{e.component} {e.extreme}",
                "combination": found.names[e.combination],
                **dict(zip(COMPONENTS, e.values, strict=True)),
            }
            for e in found.envelope(title)
        ],
    }


# -- the file ------------------------------------------------------------------------------------
def write_reaction_csv(assessment: Assessment, path: str | os.PathLike[str]) -> None:
    """Write the file, whole or not at all."""
    write_text(path, reaction_csv(assessment))


def reaction_csv(assessment: Assessment) -> str:
    """One line for each support, bearing, station of a deck and sum, for each combination.

    Forces of a deck are per length; all others are whole. T is about the shear centre for supports
    and decks, about the axis for sums.
    """
    return reaction_table(assessment).csv()


def reaction_table(assessment: Assessment) -> DataTable:
    """The same rows as a table."""
    units = MemberUnits(assessment.request.units)
    quantities = {"z": "along", "x": "place"} | dict(zip(COMPONENTS, _QUANTITIES, strict=True))
    quantities |= {"couple": "force", "q_x": "line load", "m_t": "line moment"}
    names = ["theory", "kind", "name", "z", "x", "combination", *COMPONENTS, "couple", "q_x", "m_t"]
    rows = [[found.theory, *row] for found in assessment.reactions for row in _lines(found, units)]
    columns = {name: [row[k] for row in rows] for k, name in enumerate(names)}
    forces, moments = COMPONENTS[:3], COMPONENTS[3:]
    quiet(columns, (*forces, "couple"), moments, ("q_x", "m_t"))
    known = [s.result.section.size() for s in assessment.request.sections.values() if s.result]
    noise = _NO_PLACE * max(known, default=0.0)  # as well as a shear centre is known
    columns["x"] = [x if x is None or abs(x) > noise else 0.0 for x in columns["x"]]
    plain = {name: units.plain(quantity) for name, quantity in quantities.items()}
    return DataTable(columns, plain, f"{assessment.solution.mesh.member.name}, reactions")


def _lines(found: Reactions, units: MemberUnits) -> Iterator[list[Any]]:
    along, place, force = (units.factor(q) for q in ("along", "place", "force"))
    factors = [units.factor(q) for q in _QUANTITIES]
    for c, name in enumerate(found.names):
        for r in found.supports[c]:
            values = [v * f for v, f in zip(components(r), factors, strict=True)]
            couple = None if r.couple is None else r.couple * force
            yield _line("support", r.title, r.at * along, r.point[0] * place, name, values, couple)
            for b in r.bearings:
                push = [None, b.force * force, *[None] * 5]
                yield _line("bearing", r.title, r.at * along, b.x * place, name, push)
        for deck in found.decks:
            per = [deck.across[:, c] * units.factor("line load"),
                   deck.torque[:, c] * units.factor("line moment")]  # fmt: skip
            for k, z in enumerate(deck.z):
                rest = [None, float(per[0][k]), float(per[1][k])]
                yield _line("deck", deck.title, float(z) * along, None, name, [None] * 7, *rest)
            total = [float(deck.total_across[c]) * factors[0], *[None] * 4,
                     float(deck.total_torque[c]) * factors[5], None]  # fmt: skip
            yield _line("deck, total", deck.title, None, None, name, total)
        second = ("moved",) if found.moved.any() else ()
        for word in ("applied", *second, "held"):
            values = [
                float(v) * f for v, f in zip(getattr(found, word)[:, c], factors, strict=False)
            ]
            title = {"moved": "second order"}.get(word, word)
            yield _line("sum", title, 0.0, None, name, [*values, None])


def _line(
    kind: str,
    title: str,
    z: float | None,
    x: float | None,
    combination: str,
    values: list[Any],
    couple: float | None = None,
    across: float | None = None,
    torque: float | None = None,
) -> list[Any]:
    numbers = [*values, couple, across, torque]
    return [kind, title, z, x, combination, *numbers]
