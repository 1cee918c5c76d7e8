"""Design codes that a member file asks for.

::

    [[code]]
    family = "EN 1993"             # or "AISC 360", "EN 1992-1-1"
    combinations = ["strength"]    # left out: all
    gamma_M0 = 1.0                 # EN 1993
    gamma_M1 = 1.0
    made = "rolled"                # or "welded" (left out, and safe)
    C_mz = 1.0
    # design = "LRFD"              # AISC 360: or "ASD"
    # f_ck = "30 MPa"              # EN 1992-1-1, with f_yk, edge_to_bar, cot_theta,
    # edge_to_bar = "50 mm"        # gamma_C, gamma_S, alpha_cc, d, b_w, and what is provided:
    # links = "0.8 mm"             # A_sw / s of each leg (area over length)
    # bars = "1200 mm^2"           # sum of A_sl for torsion

Rules are aids with their source named; the code itself and a licensed engineer decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ....geometry.section_file.entry import Entry
from .limit_tables import chosen_combinations

if TYPE_CHECKING:
    from ...rules.code_review import Code

FAMILIES = ("EN 1993", "AISC 360", "EN 1992-1-1")


def codes_of(entry: Entry, combinations: Sequence[str]) -> list[Code]:
    """One table."""
    from ...rules.american_steel import AmericanSteel
    from ...rules.european_concrete import EuropeanConcrete
    from ...rules.european_steel import EuropeanSteel

    entry.need("family", '"EN 1993"')
    family = entry.choice("family", FAMILIES, FAMILIES[0])
    chosen = chosen_combinations(entry, combinations)
    code: Code
    if family == "EN 1993":
        code = EuropeanSteel(
            chosen,
            _plain(entry, "gamma_M0", 1.0),
            _plain(entry, "gamma_M1", 1.0),
            entry.choice("made", ("welded", "rolled"), "welded"),
            _plain(entry, "C_mz", 1.0),
        )
    elif family == "AISC 360":
        code = AmericanSteel(chosen, entry.choice("design", ("LRFD", "ASD"), "LRFD") == "ASD")
    else:
        for key, example in (("f_ck", "30 MPa"), ("edge_to_bar", "50 mm")):
            entry.need(key, f'"{example}"')
        steel = entry.quantity("f_yk", "stress")
        code = EuropeanConcrete(
            entry.quantity("f_ck", "stress") or 0.0,
            steel if steel is not None else entry.units.read("500 MPa", "stress", what="f_yk"),
            entry.length("edge_to_bar") or 0.0,
            chosen,
            _plain(entry, "gamma_C", 1.5),
            _plain(entry, "gamma_S", 1.15),
            _plain(entry, "alpha_cc", 1.0),
            _plain(entry, "cot_theta", 1.0),
            entry.length("d"),
            entry.length("b_w"),
            entry.length("links"),
            entry.quantity("bars", "area"),
        )
    entry.close()
    return [code]


def _plain(entry: Entry, key: str, default: float) -> float:
    value = entry.plain(key, default)
    assert value is not None
    return value
