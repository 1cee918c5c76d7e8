"""What is taken away gives its force back to the member: the reverse of all it has held."""

from __future__ import annotations

from collections.abc import Sequence

from ..beam.support_reaction import SupportReaction
from ..model.load import Combination, PointLoad


def release_case(combination: str) -> str:
    """Name of the load case that holds a combination's releases."""
    return f"released under {combination}"


def released(
    held: Sequence[Sequence[SupportReaction]], titles: Sequence[str], names: Sequence[str]
) -> list[PointLoad]:
    """Loads that undo what supports and springs held.

    Parameters
    ----------
    held : per combination of reactions
        Totals of every stage so far; all reactions of one title add up.
    titles : sequence of str
        Of what is taken away.
    names : sequence of str
        The combinations.
    """
    loads = []
    for name, rows in zip(names, held, strict=True):
        for r in rows:
            if r.title not in titles:
                continue
            x, y, z = (-f for f in r.force)
            m_x, m_y, torque = (-m for m in r.moment)
            loads.append(
                PointLoad(
                    r.at,
                    (x, y, z),
                    r.point,
                    (m_x, m_y, torque),
                    -r.bimoment,
                    release_case(name),
                    f"{r.title} taken away",
                )
            )
    return loads


def stage_combinations(
    combined: Sequence[Combination], cases: Sequence[str], releases: Sequence[str]
) -> tuple[Combination, ...]:
    """The combinations of one stage: factors of its own cases, and each one's releases."""
    found = []
    for c in combined:
        factors = {case: f for case, f in c.factors.items() if case in cases}
        if release_case(c.name) in releases:
            factors[release_case(c.name)] = 1.0
        found.append(Combination(c.name, factors))
    return tuple(found)
