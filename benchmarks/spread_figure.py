"""The spread of rolled shapes by family as a figure, from the table of `catalogue_spread`."""

from __future__ import annotations

import re
from pathlib import Path

REPORT = Path(__file__).with_name("catalogue_spread.md")
FIGURE = Path(__file__).with_name("catalogue_spread.svg")
_CELL = re.compile(r"([+-][\d.]+), ([+-][\d.]+) to ([+-][\d.]+) \((.+)\)")
#: Mean, least and largest deviation in percent.
Spread = tuple[float, float, float]


def spreads() -> dict[str, dict[str, Spread]]:
    """Family, quantity, spread; quantities that a table does not have are left out."""
    lines = [line for line in REPORT.read_text(encoding="utf-8").splitlines() if line[:1] == "|"]
    heads = [cell.strip() for cell in lines[0].strip("|").split("|")][2:]
    found: dict[str, dict[str, Spread]] = {}
    for line in lines[2:]:
        family, _, *cells = (cell.strip() for cell in line.strip("|").split("|"))
        matches = {h: _CELL.fullmatch(c) for h, c in zip(heads, cells, strict=True)}
        found[family] = {
            h: (float(m[1]), float(m[2]), float(m[3])) for h, m in matches.items() if m
        }
    return found


def table_of_spreads() -> str:
    """The table as it stands in the report."""
    lines = REPORT.read_text(encoding="utf-8").splitlines()
    return "\n".join(line for line in lines if line[:1] == "|")


def draw() -> None:
    """Write the figure: J and C_w side by side, a bar from least to largest, a mark at the mean."""
    import matplotlib
    from matplotlib.figure import Figure

    found = {f: s for f, s in spreads().items() if "J" in s}
    figure = Figure(figsize=(8.4, 4.6), layout="constrained")
    for axes, quantity in zip(figure.subplots(1, 2, sharey=True), ("J", "C_w"), strict=True):
        for place, spread in enumerate(s.get(quantity) for s in found.values()):
            if spread is None:
                axes.text(-0.5, place, "not tabulated", va="center", ha="right", fontsize=7)
                continue
            mean, low, high = spread
            axes.plot(
                [low, high], [place, place], color="#6a8fb5", linewidth=5, solid_capstyle="butt"
            )
            axes.plot([mean], [place], marker="|", color="#102a43", markersize=11, linewidth=0)
        axes.axvline(0, color="0.3", linewidth=0.8)
        axes.grid(axis="x", color="0.88", linewidth=0.6)
        axes.set_axisbelow(True)
        axes.set_xlabel(f"{quantity.replace('C_w', '$C_w$')}: solved / table − 1, %")
        axes.set_yticks(range(len(found)), list(found))
    figure.axes[0].invert_yaxis()
    with matplotlib.rc_context({"svg.hashsalt": "soapfilm", "svg.fonttype": "none"}):
        figure.savefig(FIGURE, metadata={"Date": None})
