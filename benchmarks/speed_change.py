"""Times of two runs of `speed` side by side, so that a slower one is seen."""

from __future__ import annotations

from .speed_table import best

#: Our own contenders, and a library's whose time changes with the machine alone.
_OURS, _YARDSTICK = ("ours_j", "ours_all"), "ngsolve_tuned"
#: A ratio above this is marked: repeats on a quiet machine differ by less.
_SLOWER = 1.15


def changes(before: dict, after: dict) -> str:
    """Milliseconds before and after, the ratio, and the ratio by how the machine's own changed."""
    rows = [f"{'':28} {'before':>9} {'after':>9} {'ratio':>6} {'by the machine':>15}"]
    for key, now in after["sections"].items():
        then = before["sections"].get(key)
        if then is None:
            continue
        machine = best(now[_YARDSTICK]) / best(then[_YARDSTICK])
        for name in _OURS:
            a, b = best(then[name]), best(now[name])
            rows.append(_row(f"{key} {name}", a, b, b / a / machine))
    for name in ("help_seconds", "section_processor"):
        a, b = (1e3 * run["command"][name] for run in (before, after))
        rows.append(_row(f"command {name}", a, b))
    return "\n".join(rows)


def _row(name: str, before: float, after: float, corrected: float | None = None) -> str:
    ratio = after / before
    judged = ratio if corrected is None else corrected
    mark = "  slower" if judged > _SLOWER else ""
    beside = f"{corrected:15.2f}" if corrected is not None else " " * 15
    return f"{name:28} {before:9.1f} {after:9.1f} {ratio:6.2f} {beside}{mark}"
