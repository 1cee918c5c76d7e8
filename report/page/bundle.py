"""The page's JavaScript modules as one inline script.

The modules in `assets` are plain ES modules. A page that is one file cannot import any, so each
becomes a function that returns what it exports, in the order in which they need each other. Only
two forms are used and understood: ``import { a, b } from "./name.js";`` and ``export`` before a
``function``, ``class`` or ``const``.
"""

from __future__ import annotations

import re
from collections.abc import Callable

_IMPORT = re.compile(r'^import \{([^}]*)\} from "\./(\w+)\.js";\n', re.M)
_EXPORT = re.compile(r"^export (function|class|const) (\w+)", re.M)
_OTHER = re.compile(r"^(?:import|export)\b.*$", re.M)


def bundled(entry: str, read: Callable[[str], str]) -> str:
    """One script of the entry module and all it needs.

    Parameters
    ----------
    entry : str
        Name of the module that starts the page, without its suffix.
    read : callable
        Text of a module by name.

    Raises
    ------
    ValueError
        For another form of import or export, or modules that need each other in a circle.
    """
    done: dict[str, str] = {}
    _add(entry, read, done, ())
    return '"use strict";\n' + "\n".join(done.values())


def _add(
    name: str, read: Callable[[str], str], done: dict[str, str], waiting: tuple[str, ...]
) -> None:
    if name in done:
        return
    if name in waiting:
        raise ValueError(f"modules need each other: {' -> '.join((*waiting, name))}")
    text = read(name)
    for _, needed in _IMPORT.findall(text):
        _add(needed, read, done, (*waiting, name))
    exports = [exported for _, exported in _EXPORT.findall(text)]
    body = _EXPORT.sub(r"\1 \2", text)
    body = _IMPORT.sub(lambda m: f"const {{{m[1]}}} = module_{m[2]};\n", body)
    if odd := _OTHER.search(body):
        raise ValueError(f"{name}.js: {odd[0]!r} is a form that pages do not understand")
    done[name] = (
        f"const module_{name} = (() => {{\n{body}return {{ {', '.join(exports)} }};\n}})();"
    )
