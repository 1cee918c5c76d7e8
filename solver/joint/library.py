"""Joints by their kind, and what another detail would make of the same joint."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from ...geometry.errors import InputError
from ...geometry.section_file.entry import naming
from .clip_angle import clip_angles
from .detail import JointDetail
from .end_plate import end_plate
from .fin_plate import fin_plate
from .joint_spec import JointSpec
from .seat import seat
from .welded_stub import welded_stub

MAKERS: Mapping[str, Callable[[JointSpec], JointDetail]] = MappingProxyType(
    {
        "fin plate": fin_plate,
        "clip angles": clip_angles,
        "end plate": end_plate,
        "seat": seat,
        "welded stub": welded_stub,
    }
)


def joint_detail(spec: JointSpec) -> JointDetail:
    """The joint laid out.

    Raises
    ------
    InputError
        Named by the joint: what cannot stand as drawn.
    """
    with naming(f"joint {spec.name!r}"):
        return MAKERS[spec.kind](spec)


def other_details(spec: JointSpec) -> tuple[tuple[str, JointDetail], ...]:
    """The joint as it stands and with one thing changed at a time; what cannot stand is left out.

    The words say what was changed.
    """
    changes: list[tuple[str, dict[str, object]]] = [("as it stands", {})]
    if spec.bolt is not None and spec.kind != "seat":
        if spec.fit == "clearance":
            changes += [("fitted bolts", {"fit": "fitted"}), ("preloaded", {"fit": "preloaded"})]
        else:
            changes.append(("usual holes, not preloaded", {"fit": "clearance"}))
        if spec.pitch and not spec.positions:
            height = None if spec.height is None else spec.height + spec.pitch
            changes.append(("one row more", {"rows": spec.rows + 1, "height": height}))
        if spec.kind == "fin plate" and spec.columns == 1 and not spec.positions:
            changes.append(
                ("two columns", {"columns": 2, "gauge": spec.gauge or spec.pitch or 3 * spec.arm,
                                 "width": None})
            )  # fmt: skip
    changes.append(("plate half as thick again", {"thickness": 1.5 * spec.thickness}))
    found = []
    for words, change in changes:
        try:
            found.append((words, joint_detail(spec.with_(**change))))
        except InputError:
            if not change:
                raise
    return tuple(found)
