"""What a page may do: nothing but run the scripts and styles it was written with.

A Content-Security-Policy names each by its SHA-256, so text that slipped in as a script would not
run, and nothing is ever fetched. (W3C, Content Security Policy Level 3.)
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable
from hashlib import sha256


def content_policy(scripts: Iterable[str], styles: Iterable[str]) -> str:
    """The policy that allows these inline scripts and styles, images in the page, and no more."""
    parts = {
        "default-src": "'none'",
        "script-src": _sources(scripts),
        "style-src": _sources(styles),
        "img-src": "data:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    return "; ".join(f"{name} {value}" for name, value in parts.items())


def _sources(texts: Iterable[str]) -> str:
    hashes = [f"'sha256-{b64encode(sha256(t.encode()).digest()).decode('ascii')}'" for t in texts]
    return " ".join(hashes) or "'none'"
