"""The chapter of random members, as Markdown."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..speed import machine
from .member_solid import FAMILY as SOLID
from .member_trial import every_family, family_of
from .trial import Trial

HEAD = """# Members at random

Members at random, each solved by both theories and held against something independent
(`python -m benchmarks.robustness.members`, part of `make robust`; `--families` for some of
them). One or two sections, forces and torques at random points of them, cantilevers,
forks, three supports; kinks, hinges, arcs, clothoids, bearings off the middle, decks, warmth,
supports that settle. The families from "travelling loads" on draw from all of these but tapers, and
hold each to a law of its own.

- **equilibrium**: loads and reactions of either theory cancel to 1e-9 of their size;
- **reciprocity**: two unit forces at random points work equally on the movement by each other,
  to 1e-9, by either theory;
- **images**: mirrored, walked from its other end, or in metres and kilonewtons (its sections meshed
  anew) it moves alike, to 0.1 % of the largest movement or twice what it states of its own change;
- **cut in pieces**, its axis and its stretches of one section, or **as an arc of a huge radius**
  where it is straight, it moves alike to the same;
- **superposition**: a combination is its cases' sum, to 1e-9 (where sections deform, to what
  rounding of every node's forces moves them, if that is more), and all loads in two cases do what
  they did in one;
- **frequencies**, of three members in ten: three of the mirror image to 0.2 %, and none lower where
  a spring is added;
- **a chain of straight pieces** in place of an arc, turning by at most one degree where they meet:
  alike to 2 %, and by as much more, where sections deform, as the pieces, which end square, are
  longer than the arc in the fibre farthest from the axis;
- **stiffened** by a diaphragm or spring, loads work no more than before;
- **statics**: the stress resultants of cantilevers, straight or curved, to 0.5 %;
- **closed forms**: deflection, twist and Euler's load of slender bars, to 1 %, by either theory;
- **warping torsion** of one span by its formula, to 1e-7 by the classical theory, to 3 % by
  sections that deform;
- **the other theory**, where both must agree: slender members of stocky sections, to 3 %;
- **travelling loads**: ordinates of influence lines, their extremes, and a vehicle at its worst and
  at random places, against the member solved anew with the loads there; no place tried is beyond
  the extremes; to 1e-7, and 0.5 % of the largest where sections deform;
- **bearings that lift**: none pulls, none is pressed in, what is open bears nothing, and the member
  on the bearings that push alone moves alike; one that is refused as it would roll over has no
  pushes that balance its loads (a linear program of the six sums in space);
- **springs with play**: by the member without the spring and what the spring exerts, to 1e-7 and
  0.2 %;
- **a support by its reactions** in its place, to 1e-7, by the classical theory;
- **settlement by reactions** (Betti): the movement of a point where a support moves in all its
  freedoms, by that support's reactions to a unit force there, to 1e-8, by either theory;
- **in stages**: two without a change are one step, with bearings that lift too; a support or spring
  that comes later takes only what comes later; what is taken away leaves nothing behind (classical:
  sections that deform get back a resultant);
- **second order**: deflection of beam-columns (1.2 %) and torsion under compression (0.1 %; 3 %
  over what compression leaves of G J where sections deform) by their formulas; and any member under
  20 to 60 % of its critical load moves as its mirror image, to 0.5 %;
- **3D elasticity** by tensor elements at two orders: displacements to 0.5 % of the largest, beside
  three times what the last order changed.

The last column is the largest change of its movements that a member of the family states, as a
share of the largest movement; beside 3D elasticity the largest distance from it.

"""


def chapter(trials: Sequence[Trial]) -> str:
    """The whole chapter."""
    m = machine()
    good = sum(t.good for t in trials)
    held = sum(len(t.held) for t in trials)
    rows = [
        "| family | members | as they should be | wrong | rejected | crashed or late | median s "
        "| slowest s | stated |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for family in every_family():
        own = [t for t in trials if family_of(t.name) == family]
        if not own:
            continue
        seconds = [t.seconds for t in own]
        count = [sum(t.outcome in w for t in own) for w in (("wrong",), ("rejected",), _BROKEN)]
        known = [t.width for t in own if t.width is not None]
        stated = f"{max(known):.1e}" if known else ""
        cells = " | ".join(f"{c:,}" for c in (len(own), sum(t.good for t in own), *count))
        rows.append(
            f"| {family} | {cells} | {np.median(seconds):.1f} | {max(seconds):.1f} | {stated} |"
        )
    bad = [t for t in trials if not t.good]
    told = [f"- `{t.name}`: {t.outcome}; {'; '.join(t.troubles)[:400]}" for t in bad]
    end = "\n\n## Members not as they should be\n\n" + "\n".join(told) if bad else ""
    solid = sum(family_of(t.name) == SOLID for t in trials)
    where = f"Measured on: {m['processor']}, {m['cores']} cores (one used), {m['system']}"
    return (
        f"{HEAD}{where}; seconds of both theories, sections included.\n\n"
        f"{len(trials):,} members, {solid} of them beside 3D elasticity: {good:,} as they should "
        f"be, {len(bad):,} not; {held:,} comparisons.\n\n" + "\n".join(rows) + end + "\n"
    )


_BROKEN = ("crashed", "late")
