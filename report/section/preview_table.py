"""What a section file holds, as text: parts, contours, slits and joints by the names that messages
use."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...geometry.checks.naming import slit_name
from ...geometry.outline.contour import edge_lengths
from ..drawing.preview_figure import summary
from ..stress.joint_rows import joint_words
from ..text.blocks import HeadedRows
from ..text.number import number, unit_power
from ..text.rendering import folded, render_rows

if TYPE_CHECKING:
    from ...geometry.section import Section
    from ...geometry.section_file.preview import Preview


def draw_table(seen: Preview) -> str:
    """The table as text; a drawing that makes no section has its summary alone."""
    head = folded([f"{seen.name}: {summary(seen)}"])
    if seen.section is None:
        return head
    blocks = [head, _regions(seen.section)]
    if seen.section.slits:
        blocks.append(_slits(seen.section))
    if seen.section.joints:
        blocks.append(_joints(seen.section))
    notes = folded(seen.section.notes, "* ")
    return "\n".join([*blocks, notes] if notes else blocks)


def _regions(section: Section) -> str:
    heads = [
        "region",
        "name",
        "material",
        "vertices",
        "holes",
        f"area {unit_power(section.unit, 2)}",
    ]
    rows = [
        [
            str(k),
            region.name or "-",
            region.material.name if region.material.specified else "-",
            " + ".join(str(len(c)) for c in region.contours),
            str(len(region.holes)),
            number(region.area(), 5),
        ]
        for k, region in enumerate(section.regions, 1)
    ]
    return render_rows(HeadedRows(heads, [], rows, words=3))


def _slits(section: Section) -> str:
    rows = []
    for k, slit in enumerate(section.slits):
        name = slit_name(section, k) if slit.name else "-"
        rows.append([f"slit {k + 1}", name, number(_length(slit.points, slit.bulges), 4)])
    heads = ["", "touching, not joined", f"length {section.unit}".rstrip()]
    return render_rows(HeadedRows(heads, [], rows, words=2))


def _joints(section: Section) -> str:
    rows = []
    for joint in section.joints:
        broken = f"{number(joint.weld_length or 0, 4)} every {number(joint.pitch or 0, 4)}"
        rows.append(
            [
                joint.name,
                joint_words(joint),
                broken if joint.intermittent else "continuous",
                number(_length(joint.points, joint.bulges), 4),
            ]
        )
    heads = ["joint", "", "", f"throat {section.unit}".rstrip()]
    return render_rows(HeadedRows(heads, [], rows, words=3))


def _length(points: tuple[tuple[float, float], ...], bulges: tuple[float, ...]) -> float:
    run = np.asarray(points)
    return float(edge_lengths(run[:-1], run[1:], np.asarray(bulges)).sum())
