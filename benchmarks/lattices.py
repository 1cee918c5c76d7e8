"""Two hundred shapely shapes to a frame in one expression; a script that stands alone, for any
environment that has soapfilm and pandas.

    python benchmarks/lattices.py
"""

from __future__ import annotations

import time

import shapely
import soapfilm as sf


def lattice(voids: int, wall: float) -> shapely.Polygon:
    """A flat tube with inner walls, all `wall` thick and 60 apart."""
    holes = [shapely.box(60 * k + wall, wall, 60 * (k + 1), 60) for k in range(voids)]
    return shapely.box(0, 0, 60 * voids + wall, 60 + wall).difference(shapely.union_all(holes))


def main() -> None:
    """Solve, and see that every row has an answer that grows with the wall."""
    begin = time.process_time()
    frame = sf.sweep(
        lattice,
        {"voids": range(1, 5), "wall": [3 + k / 10 for k in range(50)]},
        unit="mm",
        cached=False,
    ).to_frame("pandas")
    seconds = time.process_time() - begin
    assert len(frame) == 200
    assert not frame["error"].any()
    assert (frame.groupby("voids")["torsion_constant"].diff().dropna() > 0).all()
    least = frame["torsion_constant"].min()
    print(f"200 lattices in {seconds:.1f} s of one core; J from {least:.4g} mm^4")


if __name__ == "__main__":
    main()
