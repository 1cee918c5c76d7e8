"""The part of a member's report on buckling: critical load factors by both theories, what moves in
the mode, and what the factors mean."""

from __future__ import annotations

import csv
import io
import math
import os
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ..files import write_text
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.stability import MemberStability, StabilityRow

HEADING = "Buckling: elastic critical load factors"
#: Distortion, by the largest motion, that is told as the cause.
DISTORTS = 0.05
#: Second order counts from here down (EN 1993-1-1 5.2.1, from memory).
COUNTS = 10.0
#: Factors this near to each other are not told apart.
_ALIKE = 1e-3


def stability_passage(assessment: Assessment, units: MemberUnits) -> Passage:
    """Factors of every combination, and in words; nothing where they were not asked for."""
    found = assessment.stability
    if found is None:
        return []
    if isinstance(found, str):
        return [Sentences([f"The classical theory stands alone: {found}."])]
    if found.beyond is not None:
        return [Sentences([_beyond(found, assessment)])]
    along = units.unit("along")
    headings = ["combination", "factor", "classical", "mode", "largest at", "half-waves", "of"]
    rows = [_line(row, units) for row in found.rows]
    said = _cautions(found.rows, assessment.solution.order)
    return [
        HeadedRows(headings, ["", "", "", "", along, "", along], rows),
        Sentences([*_parting(found), *said, *_quality(found, units)]),
    ]


def _line(row: StabilityRow, units: MemberUnits) -> list[str]:
    classical = "-" if math.isinf(row.classical) else number(row.classical, 4)
    if row.movement is None:
        return [row.name, "none", classical, "-", "-", "-", "-"]
    moved = row.movement
    return [
        row.name,
        number(row.factor, 4),
        classical,
        moved.movement.words,
        units.value(moved.at, "along", 3),
        str(moved.half_waves),
        units.value(moved.half_length, "along", 3),
    ]


def _beyond(found: MemberStability, assessment: Assessment) -> str:
    classical = min((c.factor for c in assessment.solution.critical), default=math.inf)
    beside = "" if math.isinf(classical) else f" (classical theory: {number(classical, 4)})"
    return (
        f"The member buckles beyond {number(found.beyond or 0.0, 3)} times its loads under every "
        f"combination{beside}, and so do its walls by themselves; second order is of no account."
    )


def _parting(found: MemberStability) -> list[str]:
    """Where the theories part, in one sentence."""
    apart = [row for row in found.rows if not row.alike and math.isfinite(row.factor)]
    if not apart:
        return [
            "Both theories agree within 3 %: sections keep their shape when the member buckles."
        ]
    row = min(apart, key=lambda r: r.factor / r.classical)
    moved = row.movement
    assert moved is not None
    share = row.factor / row.classical - 1
    words = f"{number(100 * abs(share), 2)} % {'below' if share < 0 else 'above'}"
    if moved.local:
        why = "its walls buckle by themselves, which the classical theory does not know of"
    elif float(moved.distortion.max()) > DISTORTS:
        why = (
            "walls bend and sections distort as they move, which the classical theory does not see"
        )
    else:
        why = (
            "walls bend under loads and supports, and shear and warping follow their own laws; "
            "the classical theory has sections that keep their shape"
        )
    return [f"Under {row.name!r} the factor is {words} the classical one: {why}."]


def _cautions(rows: Sequence[StabilityRow], order: str) -> list[str]:
    """What the factors mean, each once for all combinations that it concerns."""
    still = [row for row in rows if row.movement is None]
    moved = [row for row in rows if row.movement is not None]
    early = [row for row in moved if row.factor <= 1]
    low = [row for row in moved if 1 < row.factor < COUNTS and order == "first"]
    strong = [row for row in moved if row.yields_first]
    turned = [row for row in moved if row.reversed < (1 - _ALIKE) * row.factor]
    said = [
        ("The member does not buckle {}.", [_under(row) for row in still]),
        (
            "Reversed, such loads would buckle it, at so many times them: {}.",
            [_times(row.reversed, row) for row in still if math.isfinite(row.reversed)],
        ),
        (
            "The member buckles before the loads are reached {}. No first-order result holds "
            "there: brace it, stiffen its walls, or take another section.",
            [_under(row) for row in early],
        ),
        (
            f"Below {number(COUNTS)} second order counts. Motion grows to at most about so many "
            'times its size: {} (order = "second" under [analysis] follows it).',
            [_times(1 / (1 - 1 / row.factor), row) for row in low],
        ),
        (
            "The member yields first, and buckles below its elastic factor: the largest stress "
            "reaches the yield strength at so many times the loads: {}.",
            [_times(row.yields_at or math.inf, row) for row in strong],
        ),
        (
            "With all loads reversed it would buckle sooner, at so many times them: {}.",
            [_times(row.reversed, row) for row in turned],
        ),
        (
            "As these loads leave its contacts: {}.",
            [f"open at {', '.join(row.open)} {_under(row)}" for row in moved if row.open],
        ),
    ]
    return [words.replace("{}", ", ".join(each)) for words, each in said if each]


def _under(row: StabilityRow) -> str:
    return f"under {row.name!r}"


def _times(factor: float, row: StabilityRow) -> str:
    return f"{number(factor, 3)} {_under(row)}"


def _quality(found: MemberStability, units: MemberUnits) -> list[str]:
    buckling = found.buckling
    said = [
        "Elastic factors of the first-order stress with all its parts; loads at their points, with "
        "their direction kept. What is not straight, and residual stress, are not in them.",
    ]
    if math.isfinite(buckling.half_wave):
        resolved = "in part only (a longer wave is found in its place)" if buckling.coarse else ""
        said.append(
            "The sections' own buckling is among the functions; elements follow half-waves of "
            f"{units.text(buckling.half_wave, 'along', 3)} {resolved}".rstrip()
            + "."
        )
    return said


def stability_record(assessment: Assessment) -> dict[str, Any] | None:
    """The same for JSON."""
    found = assessment.stability
    if found is None:
        return None
    if isinstance(found, str):
        return {"classical_alone_because": found}
    return {
        "beyond": found.beyond,
        "resolved_half_wave": found.buckling.half_wave,
        "resolved_everywhere": not found.buckling.coarse,
        "combinations": [
            {
                "name": row.name,
                "critical_load_factor": row.factor,
                "classical": row.classical,
                "loads_reversed": row.reversed,
                "yields_at": row.yields_at,
                "yields_first": row.yields_first,
                "open_contacts": list(row.open),
                "mode": None if row.movement is None else _mode(row),
            }
            for row in found.rows
        ],
    }


def _mode(row: StabilityRow) -> dict[str, Any]:
    moved = row.movement
    assert moved is not None
    return {
        "name": moved.movement.words,
        "largest_at": moved.at,
        "half_waves": moved.half_waves,
        "half_wave": moved.half_length,
        "rigid_share": moved.movement.rigid,
        "fold_lines_move": moved.movement.folds,
    }


def mode_csv(assessment: Assessment) -> str:
    """The modes along the member: motion of the shear centre, twist and distortion, largest one."""
    units = MemberUnits(assessment.request.units)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    length = units.unit("along")
    writer.writerow(
        [f"z ({length})", "combination", "factor", "mode", "across", "up",
         f"twist (1/{units.unit('place')})", "distortion"]
    )  # fmt: skip
    found = assessment.stability
    if found is None or isinstance(found, str):
        return out.getvalue()
    along, place = units.factor("along"), units.factor("place")
    for row in found.rows:
        moved = row.movement
        if moved is None:
            continue
        for k, z in enumerate(moved.z):
            values = (moved.across[k], moved.up[k], moved.twist[k] / place, moved.distortion[k])
            writer.writerow(
                [f"{z * along:.9g}", row.name, f"{row.factor:.9g}", moved.movement.words,
                 *(f"{v:.6g}" for v in values)]
            )  # fmt: skip
    return out.getvalue()


def write_mode_csv(assessment: Assessment, path: str | os.PathLike[str]) -> None:
    """Write the file, whole or not at all."""
    write_text(path, mode_csv(assessment))
