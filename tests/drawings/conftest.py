"""Small files to read: a drawing of each kind made on the spot."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest


@pytest.fixture
def dxf(tmp_path: Path) -> Callable[..., Path]:
    """Writes a DXF file by ezdxf: a function that draws into the model space, and $INSUNITS."""

    def make(draw: Callable[[Any], None], units: int = 4, version: str = "R2010") -> Path:
        document = ezdxf.new(version, units=units)
        document.header["$INSUNITS"] = units
        draw(document.modelspace())
        path = tmp_path / "drawing.dxf"
        document.saveas(path)
        return path

    return make


@pytest.fixture
def svg(tmp_path: Path) -> Callable[..., Path]:
    """Writes an SVG file in millimetres around the given elements."""

    def make(body: str, head: str = 'width="100mm" height="100mm" viewBox="0 0 100 100"') -> Path:
        path = tmp_path / "drawing.svg"
        path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{body}</svg>')
        return path

    return make


@pytest.fixture
def ifc(tmp_path: Path) -> Callable[..., Path]:
    """Writes a STEP file in millimetres and radians around the given instances."""

    def make(instances: str, schema: str = "IFC4", length: str = ".MILLI.,.METRE.") -> Path:
        path = tmp_path / "profile.ifc"
        path.write_text(
            f"ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('{schema}'));\nENDSEC;\nDATA;\n"
            "#1=IFCUNITASSIGNMENT((#2,#3));\n"
            f"#2=IFCSIUNIT(*,.LENGTHUNIT.,{length});\n"
            "#3=IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.);\n"
            f"{instances}\nENDSEC;\nEND-ISO-10303-21;\n"
        )
        return path

    return make


@pytest.fixture
def text(tmp_path: Path) -> Callable[..., Path]:
    """Writes any content under any name."""

    def make(name: str, content: str | bytes) -> Path:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return make
