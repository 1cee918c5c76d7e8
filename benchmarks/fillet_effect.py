"""What fillets do to J and C_w: shapes solved with them and with sharp corners."""

from __future__ import annotations

from soapfilm.geometry.profiles.by_name import i_shape, l_shape, rectangle_hollow, t_shape, u_shape
from soapfilm.geometry.profiles.profile import Profile
from soapfilm.solver.section import SectionResult, solve_section

from .book_tables import table

HEADS = ("shape (mm)", "J with", "J without", "gain of J", "C_w with", "C_w without", "gain of C_w")


def pairs() -> dict[str, tuple[Profile, Profile]]:
    """Each shape with fillets and without; invented dimensions near those of rolled shapes."""

    def i(r: float) -> Profile:
        return i_shape(
            overall_width=150,
            overall_depth=300,
            web_thickness=7.1,
            flange_thickness=10.7,
            fillet_radius=r,
        )

    def stocky(r: float) -> Profile:
        return i_shape(
            overall_width=300,
            overall_depth=340,
            web_thickness=21,
            flange_thickness=40,
            fillet_radius=r,
        )

    def channel(r: float) -> Profile:
        return u_shape(
            depth=200, flange_width=75, web_thickness=8.5, flange_thickness=11.5, fillet_radius=r
        )

    def tee(r: float) -> Profile:
        return t_shape(
            depth=100, flange_width=120, web_thickness=8, flange_thickness=10, fillet_radius=r
        )

    def angle(r: float) -> Profile:
        return l_shape(depth=100, thickness=10, fillet_radius=r)

    def tube(outer: float) -> Profile:
        radii = {"outer_fillet_radius": outer, "inner_fillet_radius": outer / 3} if outer else {}
        return rectangle_hollow(x_dim=200, y_dim=100, wall_thickness=8, **radii)

    return {
        "I 300 x 150 x 10.7, web 7.1, r 15": (i(15), i(0)),
        "I 340 x 300 x 40, web 21, r 27": (stocky(27), stocky(0)),
        "channel 200 x 75 x 11.5, web 8.5, r 11.5": (channel(11.5), channel(0)),
        "T 120 x 100 x 10, stem 8, r 10": (tee(10), tee(0)),
        "angle 100 x 10, r 12": (angle(12), angle(0)),
        "tube 200 x 100 x 8, corner radii 12 and 4": (tube(12), tube(0)),
    }


def cells(name: str, filleted: SectionResult, sharp: SectionResult) -> list[str]:
    """One row."""
    return [
        name,
        f"{filleted.torsion_constant:.6g}",
        f"{sharp.torsion_constant:.6g}",
        f"{100 * (filleted.torsion_constant / sharp.torsion_constant - 1):+.2f} %",
        f"{filleted.warping_constant:.6g}",
        f"{sharp.warping_constant:.6g}",
        f"{100 * (filleted.warping_constant / sharp.warping_constant - 1):+.2f} %",
    ]


def fillet_table() -> str:
    """All shapes."""
    return table(
        HEADS,
        (
            cells(name, *(solve_section(p.section()) for p in pair))
            for name, pair in pairs().items()
        ),
    )
