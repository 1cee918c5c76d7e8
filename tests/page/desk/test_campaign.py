"""Twenty seconds of `campaign`: nothing in the console, every J that of the command."""

from __future__ import annotations

import shutil

import pytest

from .campaign import campaign


def test_twenty_seconds_at_random() -> None:
    if shutil.which("chromedriver") is None:
        pytest.skip("Chromium and its driver are missing: apt-get install chromium chromium-driver")
    found = campaign(20, seed=5)
    assert found["wrong"] == []
    assert found["actions"] > 2
    assert found["values checked"] > 0
