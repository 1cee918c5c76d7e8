"""The figure of a member: a sketch, its load plan, and the diagrams along it, on an A4 page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..drawing import drafting, palette
from ..drawing.figure_style import style
from ..text.number import number
from .combination_numbers import numbering
from .deformed_sections import draw_sections, words_of
from .diagram import draw
from .diagram_set import diagrams
from .extremes import named_sections, telling_combination
from .plan import load_plan
from .sketch import sketch
from .table import plan_words
from .units import MemberUnits

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...solver.member.review.assessment import Assessment
    from .solid import Drawn

#: A4 upright, inches.
_PAGE = (8.27, 11.69)
_LEFT, _RIGHT, _TOP, _BOTTOM = 0.78, 0.42, 0.92, 0.74
_SKETCH, _PLAN, _SECTIONS, _GAP = 2.05, 1.15, 1.1, 0.29
_FOOT = 0.2
#: Mean width of a letter by the size of its font: DejaVu Sans, a little more for bold.
_CHARACTER = 0.62


def plot_member(assessment: Assessment, combination: int | None = None) -> Axes:
    """Draw the page.

    Parameters
    ----------
    assessment : Assessment
    combination : int, optional
        Number of the combination shown; left out: that of the most used twist limit. The range
        over all of them is drawn behind it.

    Returns
    -------
    Axes
        Those of the sketch; its figure is what is saved.
    """
    from matplotlib.figure import Figure

    shown = telling_combination(assessment) if combination is None else combination
    units = MemberUnits(assessment.request.units)
    panels = diagrams(assessment, units, shown)
    with style():
        page = Figure(figsize=_PAGE, facecolor=drafting.PAPER)
        top = _PAGE[1] - _TOP
        drawing = _box(page, top - _SKETCH, _SKETCH)
        drawn, stress = sketch(drawing, assessment, shown)
        _title(page, assessment, units, shown)
        if stress:
            whose = "" if assessment.deformed is None else ", classical theory"
            what = f"von Mises stress at the surface{whose} ({units.unit('stress')})"
            _stress_bar(page, top, stress * units.factor("stress"), what)
        _factors(page, top - _SKETCH, drawn, classical=assessment.deformed is not None)
        level = top - _SKETCH - 0.52 - _PLAN
        plan = _box(page, level, _PLAN)
        load_plan(plan, assessment, units)
        member = assessment.solution.mesh.member
        _tidy_plan(plan, bool(member.restraints), bool(member.hinges))
        if assessment.deformed is not None:
            level -= _GAP + _SECTIONS
            _sections(page, level, assessment, units, shown)
        room = level - _BOTTOM
        height = room / len(panels) - _GAP
        z = assessment.table.z * units.factor("along")
        drawn_panels = []
        for diagram in panels:
            level -= _GAP + height
            panel = _box(page, level, height)
            draw(panel, z, diagram, shown)
            panel.set_xlim(0.0, z[-1])
            drawn_panels.append(panel)
        _common_axis([plan, *drawn_panels], assessment, units)
        page.text(
            0.5, _FOOT / _PAGE[1],
            "Linear elastic theory. Local codes and a licensed engineer decide.",
            ha="center", va="bottom", fontsize=7.6, color="#666666",
        )  # fmt: skip
    return drawing


# -- page ----------------------------------------------------------------------------------------
def _box(page: Figure, bottom: float, height: float) -> Axes:
    """Axes across the page, from `bottom` up, in inches."""
    w, h = _PAGE
    return page.add_axes((_LEFT / w, bottom / h, (w - _LEFT - _RIGHT) / w, height / h))


def _title(page: Figure, assessment: Assessment, units: MemberUnits, shown: int) -> None:
    """Name, what the member is, and what is shown; long ones smaller, then cut."""
    member, names = assessment.solution.mesh.member, assessment.solution.names
    spans, sections = len(member.spans), list(named_sections(assessment))
    words = [
        units.text(member.length, "along") + (f" in {spans} spans" if spans > 1 else " long"),
        plan_words(assessment, units),
        f"section{'s' * (len(sections) > 1)} {', '.join(sections)}",
        f"{assessment.solution.order} order",
    ]
    name, number = names[shown], numbering(assessment).numbers.get(names[shown])
    name = name if number is None else f"{number}, {name.partition(':')[0]}"
    behind = f"; band: range over all {len(names)} combinations" if len(names) > 1 else ""
    room = _PAGE[0] - _LEFT - _RIGHT
    for level, text, end, size, width in (
        (0.30, member.name, "", 12.0, room),
        (0.54, "; ".join(words), "", 8.0, room),
        (0.72, f"dark blue lines and sketch: {name}", behind, 8.0, room - 2.0),
    ):
        weight, colour = ("bold", drafting.INK) if size > 10 else ("normal", "#444444")
        text, size = fitted(text, size, width, end)
        page.text(
            _LEFT / _PAGE[0], 1 - level / _PAGE[1], text, fontsize=size, va="top",
            weight=weight, color=colour,
        )  # fmt: skip


def fitted(text: str, size: float, width: float, end: str = "") -> tuple[str, float]:
    """Text, with its end, and font size (points) that fit a width (inches): smaller first, then the
    text is cut and the end stays."""
    least = 0.8 * size
    across = _CHARACTER * len(text + end) / 72
    if across * size <= width:
        return text + end, size
    if across * least <= width:
        return text + end, width / across
    room = int(width * 72 / (_CHARACTER * least)) - 1 - len(end)
    return text[:room].rstrip() + "…" + end, least


def _stress_bar(page: Figure, top: float, stress: float, words: str) -> None:
    """Colours of the sketch."""
    from matplotlib.cm import ScalarMappable
    from matplotlib.colors import Normalize

    w, h = _PAGE
    place = page.add_axes(((w - _RIGHT - 1.75) / w, (top + 0.02) / h, 1.75 / w, 0.08 / h))
    bar = page.colorbar(
        ScalarMappable(Normalize(0.0, stress), palette.stress_colours()),
        cax=place,
        orientation="horizontal",
    )
    bar.outline.set_linewidth(0.4)
    bar.ax.tick_params(labelsize=7.6, width=0.5, length=2, pad=1)
    bar.ax.locator_params(nbins=4)
    place.set_title(words, fontsize=7.6, pad=2.5, loc="right")


def _factors(page: Figure, level: float, drawn: Drawn, classical: bool) -> None:
    """What is exaggerated, in words."""
    parts = []
    if drawn.thick > 1:
        parts.append(f"section × {number(drawn.thick)} beside lengths")
    parts += [f"twist × {number(drawn.twist)}", f"deflection × {number(drawn.move)}"]
    kept = ", its sections keeping their shape" if classical else ""
    words = f"Sketch, not to scale{kept}: " + ", ".join(parts) + "; broken grey: unloaded.\n"
    words += "Orange: loads, self-weight left out, with dotted threads to the shear centre."
    page.text(
        _LEFT / _PAGE[0], (level - 0.10) / _PAGE[1], words, fontsize=7.6, va="top", color="#444444"
    )


def _sections(
    page: Figure, bottom: float, assessment: Assessment, units: MemberUnits, shown: int
) -> None:
    """The deformed sections, with what they show in words."""
    axes = _box(page, bottom, _SECTIONS)
    factor = draw_sections(axes, assessment, shown, units)
    w, h = _PAGE
    top = (bottom + _SECTIONS + 0.03) / h
    page.text(_LEFT / w, top, "deformed sections", fontsize=7.6, weight="bold", va="bottom")
    page.text(
        1 - _RIGHT / w, top, words_of(factor), fontsize=7.6, ha="right", va="bottom",
        color="#444444",
    )  # fmt: skip


def _tidy_plan(axes: Axes, restrained: bool, hinged: bool) -> None:
    axes.tick_params(labelsize=7.6, length=2.5, width=0.5, colors="#555555", labelbottom=False)
    for side, spine in axes.spines.items():
        spine.set_visible(side == "left")
        spine.set(linewidth=0.5, color="#999999")
    axes.set_title(
        "load plan from above, laid out straight", fontsize=7.6, weight="bold", loc="left", pad=2
    )
    words = "black: supports and bearings; orange: loads; dash-dot: shear centre"
    if restrained:
        words += "; blue: restraints"
    if hinged:
        words += "; rings: hinges"
    axes.text(
        1.0, 1.02, words, transform=axes.transAxes, ha="right", va="bottom", fontsize=7.6,
        color="#444444",
    )  # fmt: skip


def _common_axis(panels: list[Axes], assessment: Assessment, units: MemberUnits) -> None:
    """One scale of stations for all panels, written below the last, and a line at each support."""
    member = assessment.solution.mesh.member
    for axes in panels:
        for support in member.supports:
            axes.axvline(
                support.at * units.factor("along"), color="#777777", linewidth=0.5,
                linestyle=(0, (1, 2)), zorder=1,
            )  # fmt: skip
        axes.tick_params(axis="x", labelbottom=axes is panels[-1], bottom=True)
        axes.spines["bottom"].set_visible(axes is panels[-1])
    panels[-1].set_xlabel(f"station along the member ({units.unit('along')})", fontsize=7.6)
    panels[-1].tick_params(axis="x", labelsize=7.6)
