"""The validation book: every check against something outside, with ours beside it.

Run: ``make validation``. Writes VALIDATION.md and the figure of rolled shapes. The libraries of the
extra `bench` solve the hard sections again in the same run; ``python -m benchmarks.validation
--checks`` leaves that part as it stands, and the chapter of 3D elasticity too, which ``--solids``
writes again (a few minutes).
"""

from __future__ import annotations

import argparse
import platform
import time
from importlib.metadata import version
from pathlib import Path

from .book_tables import table, topic_table
from .checks.registry import all_topics
from .fillet_effect import fillet_table
from .marked import kept, marked
from .solids_chapter import solids_chapter
from .spread_figure import draw, table_of_spreads
from .unread_tests import unread_part

BOOK = Path(__file__).with_name("VALIDATION.md")
#: Parts that are kept as they stand unless asked for.
LIBRARIES_PART, SOLIDS_PART = "libraries", "solids"
PACKAGES = ("soapfilm", "numpy", "scipy", "gmsh")
LIBRARIES = ("scikit-fem", "ngsolve", "netgen-mesher")

OPENING = """\
# Validation

Written by `make validation`; do not edit. Every figure from outside that the tests check stands
here once, beside what the package finds. Figures are kept in `tests/data/*_checks.json`, the
functions that compute ours in `benchmarks/checks/`; `tests/test_checks.py` runs the same ones.

How to read the tables:

- **published**: the digits as the source prints them; in brackets the same quantity computed anew
  to more digits, where that was done.
- **ours**: after ± half of a guaranteed interval, after ~ half of an estimated one; nothing stands
  for closed forms and exact elements, which are good to rounding.
- **difference**: ours by the published figure less 1; in brackets by the figure computed anew.
- **why it differs**: given wherever ours leaves the printed digits. The test fails without it.
- Sources say whether the figure was *read* there, comes from *memory* or was *derived*. A source
  may be wrong in its last digit or by its own formula; nothing here is tuned to it.
"""
LIBRARY_TEXT = """\
## Independent solutions by general-purpose libraries

Sections with sharp corners, walls of 1:200, three cells, two materials of 1:30, a hole at a
thousandth of the size from the edge, curved walls, a saw-cut tube, fillets and tapers. In one run:

- **NGSolve**, hp elements with layers at corners and curved edges, two settings each. J lies
  between its two bounds, widened by what polynomial arcs may cost; the doubt of C_w and of the
  shear centre (in brackets) is the difference of the settings.
- **scikit-fem**, quadratic elements on a mesh graded at re-entrant corners, of two sizes; the doubt
  (in brackets) is what the last halving changed.
- **ours** at a width of 1e-10.

"Agree" means that J's intervals overlap and that C_w and the shear centre lie within the library's
doubt and twice ours. Columns give J's relative difference and width, C_w's relative difference and
the distance of the shear centres by the section's diagonal. The same NGSolve values, stored in
`tests/data/reference_*.json`, are checked by `tests/section/test_independent_solutions.py`.
"""
ROLLED_TEXT = """\
## Rolled shapes by family

All 1850 shapes of the catalogue beside their tables: deviation in percent, mean, least to largest
(and the shape with the largest). `catalogue_spread.md` says what the tables' formulas leave out.

![Spread of J and C_w by family](catalogue_spread.svg)
"""
FILLET_TEXT = """\
## What fillets do

Tables give J with fillets by fitted formulas and C_w without them. Both solved:
"""
OTHERS_HEADS = ("what", "beside", "to", "test")
OTHERS = (
    (
        "interval of J, every order from 2 to 12, coarse to fine meshes",
        "exact values of 23 shapes",
        "the interval holds them",
        "section/test_exact_bounds.py",
    ),
    (
        "rates of convergence at corners of 90, 270 and 360 degrees",
        "theory of h, p and hp refinement",
        "the exponents",
        "section/test_convergence.py",
    ),
    (
        "bending shear stress of rectangles, any Poisson's ratio",
        "Timoshenko & Goodier's series",
        "1e-4",
        "stress/test_flexure.py",
    ),
    (
        "mean lever arm of rectangles",
        "Prandtl's series, summed on a grid",
        "1e-4",
        "section/test_lever_arm.py",
    ),
    (
        "mixed torsion, L/a from 1e-3 to 1e3, five kinds of ends, five loads",
        "solutions of 60 digits",
        "2e-12",
        "member/test_mixed_torsion.py",
    ),
    (
        "spans with springs, decks, curvature, unsymmetric bending",
        "collocation of the differential equations",
        "1e-6",
        "member/test_bvp.py",
    ),
    (
        "members curved in plan",
        "a chain of straight beams",
        "its own convergence",
        "member/test_curved.py",
    ),
    (
        "second order and critical loads",
        "collocation, closed forms",
        "1e-5 to 1e-4",
        "member/test_stability.py",
    ),
)


def checks_part() -> str:
    """All topics, with how many checks lie how near."""
    texts, differences = [], []
    for topic in all_topics():
        text, off = topic_table(topic)
        texts.append(text)
        differences += off
    counts = [sum(d <= limit for d in differences) for limit in (1e-8, 1e-4, 1e-2)]
    summary = (
        f"{len(differences)} checks: {counts[0]} agree to 1e-8 with the value computed to most "
        f"digits, {counts[1]} to 1e-4, {counts[2]} to 1 %; the others are formulas of another "
        "kind, each with its reason."
    )
    return "\n\n".join(["## Checks by topic", summary, *texts])


def libraries_part() -> str:
    """Both libraries and ours on the hard sections."""
    import ngsolve

    from .independent import comparisons, independent_table

    ngsolve.SetNumThreads(1)
    found = []
    for comparison in comparisons():
        found.append(comparison)
        print(f"{comparison.name}: {'stored values found again' if comparison.stored else 'NEW'}")
    agreeing = sum(c.agrees(c.ngsolve) and c.agrees(c.skfem) and c.stored for c in found)
    return "\n".join(
        [
            LIBRARY_TEXT,
            independent_table(found),
            "",
            f"{agreeing} of {len(found)} sections agree in everything. {versions(LIBRARIES)}.",
        ]
    )


def versions(names: tuple[str, ...]) -> str:
    """Versions of packages."""
    return ", ".join(f"{name} {version(name)}" for name in names)


def main() -> None:
    """Write the book."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument(
        "--checks", action="store_true", help="leave the libraries' part and that of 3D as they are"
    )
    parser.add_argument("--solids", action="store_true", help="with --checks: write 3D again too")
    options = parser.parse_args()
    begin = time.perf_counter()
    draw()
    libraries = kept(LIBRARIES_PART, BOOK) if options.checks else libraries_part()
    again = options.solids or not options.checks
    solids = solids_chapter() if again else kept(SOLIDS_PART, BOOK)
    parts = [
        OPENING + f"\nWith {versions(PACKAGES)}, Python {platform.python_version()}.",
        marked(LIBRARIES_PART, libraries),
        marked(SOLIDS_PART, solids),
        FILLET_TEXT + "\n" + fillet_table(),
        ROLLED_TEXT + "\n" + table_of_spreads(),
        "## Comparisons that are no single figure\n\n" + table(OTHERS_HEADS, OTHERS),
        checks_part(),
        unread_part(),
    ]
    BOOK.write_text("\n\n".join(parts) + "\n", encoding="utf-8")
    print(f"{BOOK.name} written in {time.perf_counter() - begin:.0f} s")


if __name__ == "__main__":
    main()
