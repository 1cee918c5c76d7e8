"""The reference of Python for the site: signatures and docstrings of the names in `api.py`.

Docstrings are numpydoc; their sections become lists, examples (which the tests run) blocks.
"""

from __future__ import annotations

import importlib
import inspect
import re
import runpy
from collections.abc import Iterator
from pathlib import Path

NAMES = runpy.run_path(str(Path(__file__).parent / "api.py"))["NAMES"]
_SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}\n", re.M)
_LISTS = ("Parameters", "Attributes", "Returns", "Yields", "Raises", "Other Parameters")
_CODE = re.compile(r"(``.+?``|`[^`]+`)")


def page() -> str:
    """The whole page: every name under its job, with its methods."""
    parts = [
        "# Python in full\n",
        "Every name that [what to import](../API.md) lists, with parameters, units, errors and "
        "examples, as `help()` shows them.\n",
    ]
    for job, modules in NAMES.items():
        parts.append(f"\n## {job}\n")
        for module, names in modules.items():
            full = f"soapfilm.{module}".rstrip(".")
            home = importlib.import_module(full)
            for name in names:
                parts += _told(name, getattr(home, name), full)
    return "\n".join(parts)


def _told(name: str, thing: object, module: str) -> Iterator[str]:
    anchor = f"{module}.{name}"
    yield f"\n### {name} {{ #{anchor} }}\n"
    where = f"from {module} import {name}" if module != "soapfilm" else "import soapfilm as sf"
    call = f"{'sf.' if module == 'soapfilm' else ''}{name}{_signature(thing)}"
    shown = f"{where}\n\n{_folded(call)}"
    yield f"```python\n{shown}\n```\n"
    yield _markdown(inspect.getdoc(thing) or "")
    if inspect.isclass(thing):
        for own, member in _members(thing):
            call = "" if isinstance(member, property) else _signature(member)
            yield f"\n#### `{name}.{own}{call}` {{ #{anchor}.{own} }}\n"
            yield _markdown(inspect.getdoc(member) or "")


def _members(thing: type) -> Iterator[tuple[str, object]]:
    """Public methods and properties, those of the package's own base classes too."""
    for name, member in inspect.getmembers(thing):
        own = isinstance(member, property) or inspect.isroutine(member)
        source = member.fget if isinstance(member, property) else member
        home = getattr(source, "__module__", "") or ""
        if own and not name.startswith("_") and home.startswith("soapfilm"):
            yield name, member


def _signature(thing: object) -> str:
    try:
        found = inspect.signature(thing)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        return ""
    if inspect.isclass(thing) and len(found.parameters) > 8:
        return "(...)"  # a result: its fields are described below
    plain = [p.replace(annotation=inspect.Parameter.empty) for p in found.parameters.values()]
    plain = [p for p in plain if p.name != "self"]
    text = str(found.replace(parameters=plain, return_annotation=inspect.Signature.empty))
    return re.sub(r"<factory>|<[^>]* object at 0x[0-9a-f]+>", "...", text)


def _folded(call: str) -> str:
    """A call in lines, cut between parameters."""
    lines, indent = [""], " " * (call.find("(") + 1)
    for part in re.split(r"(?<=,) ", call):
        if len(lines[-1]) + len(part) > 80:
            lines.append(indent)
        lines[-1] += f"{part} "
    return "\n".join(line.rstrip() for line in lines)


def _markdown(text: str) -> str:
    first, *rest = _SECTION.split(text)
    parts = [_body(first)]
    for title, body in zip(rest[::2], rest[1::2], strict=True):
        parts.append(f"**{title}**\n")
        parts.append(_list(body) if title in _LISTS else _body(body))
    return "\n".join(part for part in parts if part.strip())


def _list(body: str) -> str:
    """Entries of numpydoc: a name and type at the margin, words indented below."""
    lines: list[str] = []
    for line in body.rstrip().splitlines():
        if line[:1].strip():
            name, _, kind = (part.strip() for part in line.partition(" : "))
            lines.append(f"- `{name}`" + (f" ({_plain(kind)}):" if kind else ":"))
        elif line.strip() and lines:
            lines[-1] += f" {_plain(line.strip())}"
    return "\n".join(line.removesuffix(":") for line in lines) + "\n"


def _body(text: str) -> str:
    """Paragraphs, with what is set off (after two colons, or as a prompt) as it stands."""
    parts = []
    for paragraph in re.split(r"\n\s*\n", text.strip("\n")):
        if paragraph.lstrip().startswith(">>>"):
            parts.append(f"```pycon\n{inspect.cleandoc(paragraph)}\n```")
        elif paragraph.startswith((" ", "\t")):
            parts.append(f"```text\n{inspect.cleandoc(paragraph)}\n```")
        else:
            parts.append("\n".join(_plain(line) for line in paragraph.splitlines()))
    return re.sub(r"(?m)::$", ":", "\n\n".join(parts)) + "\n"


def _plain(words: str) -> str:
    parts = _CODE.split(words)
    return "".join(
        part if part.startswith("`") else re.sub(r"([*_<\[\]$\\#])", r"\\\1", part)
        for part in parts
    )
