"""One desk on an empty folder for all that ask it nothing of files."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from .talk import running


@pytest.fixture(scope="package")
def empty_desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Its address."""
    with running(tmp_path_factory.mktemp("desk")) as found:
        yield found
