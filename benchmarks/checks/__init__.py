"""Every check against something outside, once: the tests run them, the validation book prints them.

`figure` holds the published and derived figures of tests/data, `registry` ties each to the function
that computes it, one module a topic. `all_checks` gathers them.
"""

from .figure import Figure, figures
from .registry import Check, Found, Topic, all_checks

__all__ = ["Check", "Figure", "Found", "Topic", "all_checks", "figures"]
