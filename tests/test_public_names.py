"""Every public name has a docstring, and the page of entry points is up to date."""

from __future__ import annotations

import ast
import importlib
import re
import runpy
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("api", "geometry", "solver", "report", "cli")
MODULES = sorted(path for room in ROOMS for path in (ROOT / room).rglob("*.py"))
API = runpy.run_path(str(ROOT / "docs" / "api.py"))
#: Quantities that a docstring must say the meaning of: units, or powers of the section's own unit.
RESULTS = {
    "soapfilm.solver.section.result": ("SectionResult", "Cell", "SolverReport"),
    "soapfilm.solver.section.area.properties": ("AreaProperties", "SecondMoments", "ElasticModuli"),
    "soapfilm.solver.section.torsion.warping": ("WarpingProperties",),
    "soapfilm.solver.section.torsion.peak": ("TorsionModulus",),
    "soapfilm.solver.section.area.plastic": ("PlasticModuli",),
    "soapfilm.solver.section.stress.load_cases": ("StressResult", "CaseStress"),
}


def _overload(node: ast.AST) -> bool:
    """A signature for type checkers; the function itself follows it, with the docstring."""
    return any(getattr(d, "id", "") == "overload" for d in getattr(node, "decorator_list", []))


def public(body: list[ast.stmt], prefix: str = "") -> list[tuple[str, ast.AST]]:
    """Functions, classes and their methods without a leading underscore, with dotted names."""
    found: list[tuple[str, ast.AST]] = []
    for node in body:
        if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            continue
        if node.name.startswith("_") or _overload(node):
            continue
        found.append((prefix + node.name, node))
        if isinstance(node, ast.ClassDef):
            found += public(node.body, f"{prefix}{node.name}.")
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_public_name_has_a_docstring(path: Path) -> None:
    tree = ast.parse(path.read_text())
    assert ast.get_docstring(tree), f"{path.relative_to(ROOT)} has no docstring"
    bare = [name for name, node in public(tree.body) if not ast.get_docstring(node)]  # type: ignore[arg-type]
    assert not bare


def test_public_names_are_found() -> None:
    code = "class A:\n  def f(self): ...\n  def _g(self): ...\ndef h(): ...\ndef _i(): ..."
    assert [name for name, _ in public(ast.parse(code).body)] == ["A", "A.f", "h"]


@pytest.mark.parametrize("module", RESULTS)
def test_results_say_what_each_field_is(module: str) -> None:
    """By its name in the docstring."""
    home = importlib.import_module(module)
    for name in RESULTS[module]:
        thing = getattr(home, name)
        lost = [
            field
            for field in thing.__dataclass_fields__
            if not re.search(rf"\b{field}\b", thing.__doc__ or "")
        ]
        assert not lost, f"{name} does not say what {', '.join(lost)} is"


def test_the_page_of_entry_points_is_up_to_date() -> None:
    """Else run ``python docs/api.py``."""
    assert (ROOT / "docs" / "API.md").read_text("utf-8") == API["page"]()


def test_every_entry_point_says_something() -> None:
    for modules in API["NAMES"].values():
        for module, names in modules.items():
            home = importlib.import_module(f"soapfilm.{module}".rstrip("."))
            for name in names:
                assert len(API["sentence"](getattr(home, name))) > 10, name


FACE = sorted(path for path in (ROOT / "api").glob("*.py") if path.stem != "__init__")
#: What modules of the face share among themselves, which is not on it.
INNER = {
    "acting_cases", "solved_joints", "write_page", "stress_solution", "rows_of", "pint_quantity",
}  # fmt: skip


def _face() -> list[tuple[str, str, ast.FunctionDef]]:
    """Functions and methods that users of the package call, with their module's text."""
    found = []
    for path in FACE:
        text = path.read_text("utf-8")
        found += [
            (f"{path.stem}.{name}", text, node)
            for name, node in public(ast.parse(text).body)
            if isinstance(node, ast.FunctionDef) and name not in INNER
        ]
    return found


@pytest.mark.parametrize(("name", "text", "node"), _face(), ids=[name for name, *_ in _face()])
def test_the_face_says_what_it_takes_and_shows_it(
    name: str, text: str, node: ast.FunctionDef
) -> None:
    """Every argument in words, and every function at work in an example, which is run elsewhere."""
    words = ast.get_docstring(node) or ""
    takes = [a.arg for a in (*node.args.args, *node.args.kwonlyargs) if a.arg != "self"]
    assert not [word for word in takes if not re.search(rf"\b{word}\b", words)]
    examples = "\n".join(line for line in text.splitlines() if re.match(r"\s*(>>>|\.\.\.)", line))
    assert re.search(rf"\b{node.name}\b", examples), f"no example calls {name}"
    if takes and "path" in takes:
        assert "Raises" in words
