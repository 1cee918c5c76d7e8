"""The house rules that code can check: which folder may import which, and what an import costs."""

from __future__ import annotations

import ast
import subprocess
import sys
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path
from typing import Any, NamedTuple

import pytest

ROOT = Path(__file__).parent.parent
#: Each folder with those of its own house it may import. Data flows the other way.
ARROWS = {
    "api": {"api", "cli", "report", "solver", "geometry"},
    "geometry": {"geometry"},
    "solver": {"solver", "geometry"},
    "report": {"report", "solver", "geometry"},
    "desk": {"desk", "report", "solver", "geometry"},
    "cli": {"cli", "desk", "report", "solver", "geometry"},
}
MODULES = sorted(path for room in ARROWS for path in (ROOT / room).rglob("*.py"))
#: What `soapfilm --help` must not wait for.
HEAVY = {"numpy", "scipy", "shapely", "gmsh", "matplotlib", "meshio", "pint", "rich", "ezdxf"}


def test_modules_are_found() -> None:
    assert {path.relative_to(ROOT).parts[0] for path in MODULES} == set(ARROWS)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_follow_the_arrows(path: Path) -> None:
    room = path.relative_to(ROOT).parts[0]
    for target in _imported_rooms(path):
        assert target in ARROWS[room], f"{path.relative_to(ROOT)} must not import {target}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_inside_the_package_are_relative(path: Path) -> None:
    """An absolute one would tie the code to the name it is installed under."""
    for node in _parsed(path).imports:
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.append(node.module)
        roots = {name.split(".")[0] for name in names}
        assert not roots & {"soapfilm", *ARROWS}, f"{path.relative_to(ROOT)}: {names}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_name_modules_that_exist(path: Path) -> None:
    """Those inside functions too, which fail only when they are run."""
    package = list(path.relative_to(ROOT).parent.parts)
    for node in _parsed(path).imports:
        if isinstance(node, ast.ImportFrom) and node.level and node.module:
            home = ROOT.joinpath(*_base(package, node.level, node.module.split(".")))
            assert home.with_suffix(".py").exists() or home.is_dir(), home


def test_no_module_imports_itself_by_way_of_others() -> None:
    """Imports inside functions and for types count too: a circle is a circle wherever it closes."""
    order = list(
        TopologicalSorter({_dotted(p): _imported_modules(p) for p in MODULES}).static_order()
    )
    assert order.index("geometry.outline.contour") < order.index("solver.section.solve")
    assert order.index("solver.section.solve") < order.index("cli.section")


def test_packages_list_every_folder_with_modules() -> None:
    """A sub-package forgotten there works from the source and is missing in the wheel."""
    tools = _setuptools()
    folders = {path.parent.relative_to(ROOT).as_posix() for path in MODULES}
    homes = tools["package-dir"]
    assert set(homes) == {"soapfilm" if r == "api" else f"soapfilm.{r}" for r in ARROWS}
    listed = {name.removeprefix("soapfilm.").replace(".", "/") for name in tools["packages"]}
    assert listed - {"soapfilm"} == folders - {"api"}


def test_the_map_names_every_folder() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    folders = {path.parent.relative_to(ROOT).as_posix() for path in MODULES}
    assert not [folder for folder in sorted(folders) if f"`{folder}/`" not in text]


def test_no_two_modules_differ_only_by_number() -> None:
    """`layer` beside `layers` makes a reader open both; each says what it is."""
    names = {path.stem for path in MODULES}
    assert not {
        n for n in names for more in (n + "s", n[:-1] + "ies") if more in names and more != n
    }


def test_no_two_classes_share_a_name() -> None:
    """Private ones may: nobody meets them elsewhere."""
    homes: dict[str, list[str]] = {}
    for path in MODULES:
        for name in _parsed(path).classes:
            homes.setdefault(name, []).append(str(path.relative_to(ROOT)))
    assert not {name: paths for name, paths in homes.items() if len(paths) > 1}


def test_package_data_lists_every_other_file() -> None:
    tools = _setuptools()
    listed = {
        path
        for package, patterns in tools["package-data"].items()
        for pattern in patterns
        for path in (ROOT / _folder(package)).glob(pattern)
    }
    for room in ARROWS:
        for path in (ROOT / room).rglob("*"):
            if path.is_file() and path.suffix not in (".py", ".pyc"):
                assert path in listed, path.relative_to(ROOT)


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["section", "--help"], ["nonsense"]])
def test_help_loads_no_numerics(words: list[str]) -> None:
    """Timing a test is unreliable; what is imported decides how long the help takes."""
    program = (
        "import sys; from soapfilm.cli.main import main; main(sys.argv[1:]);"
        "print('loaded', *sorted({m.split('.')[0] for m in sys.modules}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *words], capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.splitlines()[-1].split())
    assert "loaded" in loaded
    assert not loaded & HEAVY


def test_no_module_outgrows_its_idea() -> None:
    """250 lines is where a second idea has usually moved in."""
    long = {
        str(path.relative_to(ROOT)): lines
        for path in MODULES
        if (lines := len(path.read_text().splitlines())) > 300
    }
    assert not long


class _Parsed(NamedTuple):
    """What the rules ask of a module: its imports, wherever they stand, and its public classes."""

    imports: tuple[ast.Import | ast.ImportFrom, ...]
    classes: tuple[str, ...]


@cache
def _parsed(path: Path) -> _Parsed:
    tree = ast.parse(path.read_text())
    return _Parsed(
        tuple(n for n in ast.walk(tree) if isinstance(n, ast.Import | ast.ImportFrom)),
        tuple(
            n.name for n in tree.body if isinstance(n, ast.ClassDef) and not n.name.startswith("_")
        ),
    )


def _imported_rooms(path: Path) -> set[str]:
    """First folders of this house that a module imports, wherever in its code it does so."""
    return {name.split(".")[0] for name in _imports(path)}


def _imported_modules(path: Path) -> set[str]:
    """Modules of this house that a module imports; a package is its __init__."""
    known = _known()
    return {
        name if name in known else name.rpartition(".")[0]
        for name in _imports(path)
        if name in known or name.rpartition(".")[0] in known
    }


@cache
def _known() -> frozenset[str]:
    return frozenset(_dotted(module) for module in MODULES)


def _imports(path: Path) -> set[str]:
    """What a module's relative imports name, from the house's root: "geometry.section.Section"."""
    package = list(path.relative_to(ROOT).parent.parts)
    found = set()
    for node in _parsed(path).imports:
        if not isinstance(node, ast.ImportFrom) or node.level == 0:
            continue
        module = node.module.split(".") if node.module else []
        base = _base(package, node.level, module)
        found |= {".".join([*base, alias.name]) for alias in node.names}
    return found


def _base(package: list[str], level: int, module: list[str]) -> list[str]:
    """Where a relative import leads, from the house's root: `api` is the package itself, so all
    rooms lie within it."""
    if package == ["api"] and level == 1 and module and module[0] in ARROWS:
        return module
    return [*package[: len(package) - level + 1], *module]


def _dotted(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _folder(package: str) -> str:
    """Where a package lies: sub-rooms follow the room they are in."""
    return package.removeprefix("soapfilm").lstrip(".").replace(".", "/") or "api"


def _setuptools() -> dict[str, Any]:
    """What pyproject.toml tells the build."""
    if sys.version_info >= (3, 11):
        import tomllib
    else:
        import tomli as tomllib
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())
    return project["tool"]["setuptools"]  # type: ignore[no-any-return]
