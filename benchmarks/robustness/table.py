"""The campaign's figures as Markdown."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from ..speed import machine
from .campaign import EXTREMES, FAMILIES, case_of, kind_of
from .trial import Trial

HEAD = """# Robustness

Sections at random and sections at the edge of what is one, each solved and held against something
independent of that solve, or refused with a message (`make robust` for this table, half an hour;
`tests/robustness` runs a part of it with every test run).

Random sections are placed anywhere, turned and mirrored, over eight decades of size and walls
(or proportions) over three to four decades. Each is solved with the default accuracy of 1e-5 and
held against what there is:

- **closed form**: J lies in the interval (rectangles, pieces of rings and slit tubes of any angle,
  tubes with the hole off centre, keyways, rings of two materials; derived in `closed_form.py`);
- **known shapes**: sections that hold it or lie inside it, whose J is known;
- **inequalities**: 4 I_1 I_2/(I_1 + I_2), the ring of equal areas, the box around it from above;
  trial functions on the sand heap's offsets from below (`bounds.py`); and the area by chords;
- **material added**: J does not fall;
- **second solve**: mirrored, turned, moved, scaled, on another mesh with another order: the
  intervals overlap, shear centre and warping constant agree as far as they say they are known.

"Wrong" is a result that any of these contradicts, "rejected" a valid section refused, "crashed" any
error that is not a message, "late" more than two minutes for all solves of a case.

"""


#: Where the chapter of members begins.
MEMBERS = "\n# Members at random\n"


def with_chapter(page: str, chapter: str) -> str:
    """The page with its chapter of members in place of what it has of it."""
    return f"{page.partition(MEMBERS)[0].rstrip()}\n\n{chapter}"


def document(trials: Sequence[Trial]) -> str:
    """The page of sections."""
    m = machine()
    where = f"Measured on: {m['processor']}, {m['cores']} cores (one used), {m['system']}.\n\n"
    parts = [HEAD, where, _totals(trials), _families(trials), _ranges(trials), _extremes(trials)]
    return "".join(parts) + _troubles(trials)


def _totals(trials: Sequence[Trial]) -> str:
    good = sum(t.good for t in trials)
    short = [t for t in trials if t.outcome == "solved" and not t.met]
    held = sum(len(t.held) for t in trials)
    return (
        f"{len(trials):,} sections: {good:,} solved or refused as they should be, "
        f"{len(trials) - good:,} not; {held:,} comparisons; accuracy asked not reached in "
        f"{len(short):,} (the interval says what was).\n\n"
    )


def _families(trials: Sequence[Trial]) -> str:
    rows = [
        "| family | sections | solved | wrong | rejected | crashed or late | interval wider than "
        "asked | median s | slowest s |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for family in FAMILIES:
        own = [t for t in trials if kind_of(t.name) == family]
        if not own:
            continue
        seconds = [t.seconds for t in own]
        counts = (
            _count(own, lambda t: t.outcome == "solved"),
            _count(own, lambda t: t.outcome in ("wrong", "accepted")),
            _count(own, lambda t: t.outcome == "rejected"),
            _count(own, lambda t: t.outcome in ("crashed", "late")),
            _count(own, lambda t: t.outcome == "solved" and not t.met),
        )
        cells = " | ".join(f"{c:,}" for c in counts)
        rows.append(
            f"| {family} | {len(own):,} | {cells} | {np.median(seconds):.2f} | {max(seconds):.1f} |"
        )
    return "\n".join(rows) + "\n\n"


def _count(trials: Sequence[Trial], test: Callable[[Trial], bool]) -> int:
    return sum(map(test, trials))


def _ranges(trials: Sequence[Trial]) -> str:
    """What sizes and walls were met."""
    sizes, walls = [], []
    for trial in trials:
        if trial.name in EXTREMES:
            continue
        section = case_of(trial.name).section
        size = section.size()
        area = sum(r.area() for r in section.regions)
        sizes.append(size)
        walls.append(area / sum(c.length() for c in section.contours()) / size)
    if not sizes:
        return ""
    return (
        f"Sizes from {min(sizes):.1g} to {max(sizes):.1g}; area over border length, half the mean "
        f"wall, from {min(walls):.1g} to {max(walls):.1g} of the size.\n\n"
    )


def _extremes(trials: Sequence[Trial]) -> str:
    rows = [
        "## At the edge\n",
        "| section | outcome | relative width of J's interval | s | held against, or the message |",
        "| --- | --- | ---: | ---: | --- |",
    ]
    for t in trials:
        if t.name in EXTREMES:
            said = ", ".join(t.held) if t.outcome == "solved" else "; ".join(t.troubles)
            width = f"{t.width:.1e}" if t.width is not None and t.outcome != "refused" else ""
            mark = t.outcome if t.good else f"**{t.outcome}**"
            rows.append(f"| {t.name} | {mark} | {width} | {t.seconds:.2f} | {said} |")
    return "\n".join(rows) + "\n" if len(rows) > 3 else ""


def _troubles(trials: Sequence[Trial]) -> str:
    bad = [t for t in trials if not t.good and t.name not in EXTREMES]
    if not bad:
        return ""
    rows = [f"- `{t.name}`: {t.outcome}; {'; '.join(t.troubles)[:300]}" for t in bad]
    return "\n## Not as they should be\n\n" + "\n".join(rows) + "\n"
