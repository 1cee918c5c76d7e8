"""The package itself: what it costs to import, what it shows, and that every name is described."""

from __future__ import annotations

import ast
import inspect
import subprocess
import sys
from pathlib import Path

import pytest
import soapfilm as sf

ROOT = Path(__file__).parent.parent.parent
#: What `import soapfilm` must not load.
HEAVY = {"numpy", "scipy", "shapely", "gmsh", "matplotlib", "meshio", "pint", "pandas", "typing"}


def loaded(program: str) -> set[str]:
    """First names of the modules that a program has loaded at its end."""
    program = f"import sys; before = set(sys.modules); {program}; "
    program += "print(*sorted({m.split('.')[0] for m in set(sys.modules) - before}))"
    command = [sys.executable, "-c", program]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return set(done.stdout.split())


def test_the_import_loads_nothing_else() -> None:
    """What is imported decides how long it takes; the clock is a benchmark's."""
    assert loaded("import soapfilm as sf; dir(sf)") == {"soapfilm"}


def test_a_name_loads_what_it_needs() -> None:
    assert not loaded("import soapfilm as sf; sf.InputError, sf.__version__") & (HEAVY - {"typing"})
    assert "numpy" in loaded("import soapfilm as sf; sf.Section")


def test_names_are_those_that_editors_see() -> None:
    """Type checkers read the imports that never run; they must name what is there."""
    tree = ast.parse((ROOT / "api" / "__init__.py").read_text("utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    imported = {}
    for node in block.body:
        if isinstance(node, ast.ImportFrom):
            imported |= {alias.name: node.module for alias in node.names}
    assert imported == sf._HOMES
    assert set(sf.__all__) == {*imported, "__version__"} == set(dir(sf))
    for name in sf.__all__:
        assert getattr(sf, name) is not None


def test_an_unknown_name_is_no_attribute() -> None:
    with pytest.raises(AttributeError, match="soapfilm"):
        sf.sections  # noqa: B018


@pytest.mark.parametrize("name", [n for n in sf.__all__ if n != "__version__"])
def test_every_name_has_its_words_and_an_example(name: str) -> None:
    """Parameters, units and errors for functions; fields for classes; an example that runs."""
    thing = getattr(sf, name)
    text = inspect.getdoc(thing) or ""
    if isinstance(thing, type) and issubclass(thing, Exception):
        assert len(text) > 40
        return
    assert ">>>" in text or name in WITHOUT_EXAMPLES
    if inspect.isfunction(thing):
        for word in ("Parameters", "Raises", "Returns"):
            assert word in text or (name, word) == ("build", "Returns"), word
        for parameter in inspect.signature(thing).parameters.values():
            assert parameter.name in text, parameter.name
    else:
        assert "Attributes" in text or "Parameters" in text
        for attribute in getattr(thing, "__dataclass_fields__", {}):
            assert attribute in text, attribute


#: Classes of other rooms, whose examples stand with the functions that make them.
WITHOUT_EXAMPLES = {"Section", "Material", "SectionFields"}


def test_every_public_method_says_something() -> None:
    for name in sf.__all__:
        thing = getattr(sf, name)
        if not isinstance(thing, type):
            continue
        for word, member in inspect.getmembers(thing):
            if not word.startswith("_") and (callable(member) or isinstance(member, property)):
                assert inspect.getdoc(member), f"{name}.{word}"
