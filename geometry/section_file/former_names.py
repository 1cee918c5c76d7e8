"""Keys that files had under another name: each is answered with the name it has now."""

from __future__ import annotations

from ..errors import InputError

#: Former name of a table or key, and the name it has now.
FORMER_NAMES = {
    "stretch": "segment",
    "secondary": "secondary_beam",
    "cure": "remedy",
    "play": "slip",
    "twist_play": "twist_slip",
    "wagner_x": "beta_x",
    "wagner_y": "beta_y",
}


def check_name(key: str) -> None:
    """Raise `InputError` with the present name of a key that had another one."""
    if key in FORMER_NAMES:
        raise InputError(f"{key!r} is called {FORMER_NAMES[key]!r} now; write that instead")
