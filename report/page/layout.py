"""A document laid out as one HTML file: templates, styles and scripts of `assets` put together."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from .bundle import bundled
from .policy import content_policy
from .typesetting import figure, running, symbol

if TYPE_CHECKING:
    from jinja2 import Environment

    from .document import Document

_STYLES = ("page.css", "live.css", "print.css")


def page(document: Document, paper: str = "") -> str:
    """The HTML text of a document.

    Every text of the document is escaped where the templates put it; data of live blocks lies in a
    block that browsers do not run.

    Parameters
    ----------
    document : Document
    paper : str
        "A4" or "letter" fixes the size of printed pages; left out, the printer's own.
    """
    from markupsafe import Markup

    style = "".join(_asset(name) for name in _STYLES)
    if paper:
        style += f"@page {{ size: {paper}; }}\n"
    script = bundled("main", lambda name: _asset(f"{name}.js")) if document.live else ""
    return (
        _environment()
        .get_template("page.html")
        .render(
            document=document,
            policy=content_policy([script] if script else [], [style]),
            style=Markup(style),
            script=Markup(script),
            data=Markup(embedded(document.live)) if document.live else "",
        )
    )


def embedded(data: Any) -> str:
    """JSON that is safe inside a script element: nothing in it can end the element.

    >>> embedded({"name": "</script>"})
    '{"name":"\\\\u003c/script>"}'
    """
    text = json.dumps(data, allow_nan=False, ensure_ascii=False, separators=(",", ":"))
    # Only "<" can begin an end tag or a comment; the line separators are for old parsers.
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    environment = Environment(
        loader=FunctionLoader(_asset),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(symbol=symbol, figure=figure, running=running)
    return environment


@cache
def _asset(name: str) -> str:
    return files(__package__).joinpath("assets", name).read_text("utf-8")
