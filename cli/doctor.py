"""`soapfilm doctor`: what this machine has of what the program needs, each tried, not looked up."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass

from .failure import SOLVE

#: Libraries without which nothing runs, by the names they are installed and imported under.
_NEEDED = {
    "numpy": "numpy", "scipy": "scipy", "qdldl": "qdldl", "shapely": "shapely", "gmsh": "gmsh",
    "meshio": "meshio", "matplotlib": "matplotlib", "pint": "pint", "rich": "rich",
    "ezdxf": "ezdxf", "defusedxml": "defusedxml", "jinja2": "jinja2",
    "platformdirs": "platformdirs",
}  # fmt: skip
#: Libraries that one thing needs, and what that is.
_WELCOME = {
    "pandas": "results as its data frames",
    "polars": "results as its data frames",
    "pyarrow": "rows of studies as Parquet",
    "distributed": "studies on a Dask cluster",
    "shtab": "completion in shells",
    "starlette": "the desk",
    "uvicorn": "the desk",
    "websockets": "the desk",
    "tomlkit": "the desk",
    "watchfiles": "the desk",
}
#: J of a square of side 10.
_SQUARE = 1405.7701
#: What the mesh generator's wheel needs of the system, by the names of Debian's packages.
GMSH_LIBRARIES = (
    "libglu1-mesa", "libgl1", "libxrender1", "libxcursor1", "libxfixes3", "libxft2",
    "libxinerama1", "libfontconfig1", "libgomp1",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at.

    Attributes
    ----------
    what : str
    works : bool
    found : str
        Its version, its place, or what failed.
    needed : bool
        False where the program does without it.
    """

    what: str
    works: bool
    found: str
    needed: bool = True


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("--json", action="store_true", help="print JSON instead of the table")


def run(options: argparse.Namespace) -> int:
    """Look at everything and print what was found; 1 when something needed does not work."""
    findings = tuple(_findings())
    if options.json:
        print(json.dumps([asdict(finding) for finding in findings], indent=2))
    else:
        from ..report.text.blocks import HeadedRows
        from ..report.text.rendering import render_rows

        words = {True: "works", False: "does not work"}
        rows = [
            [f.what, words[f.works] if f.works or f.needed else "not there", f.found]
            for f in findings
        ]
        print(render_rows(HeadedRows(["what", "", "found"], [], rows, words=3)), end="")
    return 0 if all(f.works for f in findings if f.needed) else SOLVE


def _findings() -> Iterator[Finding]:
    import platform

    yield Finding("Python", True, f"{platform.python_version()}, {sys.executable}")
    yield _library("soapfilm", "soapfilm")
    for name, module in _NEEDED.items():
        yield _library(name, module)
    yield _tried("a square is meshed and solved", _solve)
    yield _tried("a figure is drawn", _draw)
    yield _tried("cache of solved sections", _cache)
    yield _tried("browser that prints pages to PDF", _browser, needed=False)
    yield Finding("terminal", True, _terminal())
    for name, purpose in _WELCOME.items():
        found = _library(name, name, needed=False)
        yield found if found.works else Finding(name, False, f"for {purpose}", needed=False)


def _tried(what: str, attempt: Callable[[], str], *, needed: bool = True) -> Finding:
    """What an attempt says, or why it failed."""
    try:
        return Finding(what, True, attempt(), needed)
    except Exception as error:  # whatever it is, it is the finding
        return Finding(what, False, " ".join(str(error).split())[:200], needed)


def _library(name: str, module: str, *, needed: bool = True) -> Finding:
    import importlib
    from importlib.metadata import version
    from pathlib import Path

    def attempt() -> str:
        try:
            loaded = importlib.import_module(module)
        except OSError as error:  # a system library of its own is missing
            cure = f"; on Debian: apt-get install {' '.join(GMSH_LIBRARIES)}"
            raise OSError(f"{error}{cure if module == 'gmsh' else ''}") from error
        place = getattr(loaded, "__file__", None)
        return f"{version(name)}{f', {Path(place).parent}' if place else ''}"

    return _tried(name, attempt, needed=needed)


def _solve() -> str:
    """J of a square against its series, summed: 0.14057701 a^4 (Timoshenko and Goodier, article
    109, prints 0.1406)."""
    from ..geometry.outline.contour import Contour
    from ..geometry.section import Section
    from ..report.text.number import bounds
    from ..solver.section import solve_section

    square = Section.single(Contour([[0, 0], [10, 0], [10, 10], [0, 10]]), unit="mm")
    result = solve_section(square, 1e-4)
    lower, upper = result.torsion_constant_lower, result.torsion_constant_upper
    found = f"J of a square of side 10: {bounds(lower, upper)}, by its series {_SQUARE}"
    if not lower <= _SQUARE <= upper:
        raise ArithmeticError(found)
    return found


def _draw() -> str:
    import io

    from matplotlib import get_cachedir
    from matplotlib.figure import Figure

    Figure(figsize=(1, 1)).savefig(io.BytesIO(), format="svg")
    return f"fonts and settings of matplotlib in {get_cachedir()}"


def _cache() -> str:
    import tempfile

    from ..solver.study.run.cache import default_folder

    folder = default_folder()
    if folder is None:
        return "switched off by SOAPFILM_CACHE"
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryFile(dir=folder) as file:
        file.write(b"0")
    size = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
    return f"{folder}, {size / 1e6:.1f} MB"


def _browser() -> str:
    from ..report.page.printing import browser

    return browser()


def _terminal() -> str:
    from ..report.text.terminal import terminal_width

    width = terminal_width()
    size = "no terminal, lines stay whole" if width is None else f"{width} characters a line"
    return f"{size}; {sys.stdout.encoding}"
