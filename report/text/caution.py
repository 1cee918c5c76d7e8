"""What every table of results must carry: how far the theory reaches, and who decides."""

from __future__ import annotations

SECTION = (
    "Linear elastic theory of the section alone. Local codes and a licensed engineer decide "
    "whether a member is fit for its use."
)
MEMBER = (
    "Linear elastic theory and general rules only: local codes and a licensed engineer decide "
    "whether a member is safe."
)
JUDGED = (
    "The member is judged as `soapfilm member` judges it: by sections that deform, the classical "
    "values beside them. Stability is that of sections that keep their shape, "
    "but a limit on critical_factor is judged by sections that deform."
)
CHOICE = (
    "Linear elastic theory, and the limits stated only: no local buckling, no connections. Local "
    "codes and a licensed engineer decide."
)
BUCKLING = (
    "Elastic critical loads of the perfect section: imperfections, residual stresses and yielding "
    "bring real members below them, and parts held up after buckling above. Codes turn them into "
    "resistances by slenderness; local codes and a licensed engineer decide."
)
JOINT = (
    "Elastic sharing and slip only, no resistances: forms of codes are named from memory. Local "
    "codes and a licensed engineer decide, also on prying, block shear, ductility and fatigue."
)


def kept_shape(why: str) -> str:
    """What must be said where the classical theory judges alone."""
    reason = f" ({why})" if why else ""
    return (
        f"Judged by the classical theory alone{reason}: boxes without diaphragms and tapers need "
        "sections that deform."
    )
