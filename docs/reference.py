"""Reference pages of the site: files from `geometry/keys`, commands from their parsers, Python from
docstrings (`python_reference.py`).

Written whenever the site is built, so that they say what the program does.

    python docs/reference.py reference/member-file.md    # prints a page
"""

from __future__ import annotations

import argparse
import re
import runpy
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from soapfilm.cli.main import COMMANDS, FORMER_OPTIONS, build_parser
from soapfilm.geometry.keys.description import FILES, FileKind, Key, Table, file_kind
from soapfilm.geometry.profiles.by_name import PROFILES, profile_attributes

HERE = Path(__file__).parent
#: What a key holds, where its name alone does not say how it is written.
_HOLDS = {
    "position": "position",
    "positions": "positions",
    "kelvin": "temperature difference",
    "per kelvin": "per temperature",
    "anything": "",
}


def pages() -> dict[str, Callable[[], str]]:
    """What writes each page, by the page's place in the site."""
    found = {f"reference/{name}-file.md": partial(_file, name) for name in FILES}
    return {**found, "reference/commands.md": commands_page, "reference/python.md": python_page}


def python_page() -> str:
    """Every name to import, from docstrings."""
    return str(runpy.run_path(str(HERE / "python_reference.py"))["page"]())


def file_page(kind: FileKind) -> str:
    """What a kind of file may say: its tables, a heading each, with their keys."""
    parts = [
        f"# {kind.name.capitalize()} file\n",
        f"A TOML file: {_cell(kind.words)}. `{kind.command} FILE` reads it; "
        f"`soapfilm keys --file {kind.name}` prints this page on the terminal, and "
        f"`soapfilm keys --schema {kind.name}` the JSON Schema by which editors complete and check "
        "it. How lengths, quantities, positions and points are written: "
        "[conventions](conventions.md#how-values-are-written).\n",
        "| table | what it describes |\n| --- | --- |",
        *(
            f"| [{_heading(table)}](#{_anchor(table)}) | {_cell(table.words)} |"
            for table in kind.tables
        ),
    ]
    for table in kind.tables:
        parts.append(_table(table))
    if kind.name == "section":
        parts.append(_profiles())
    return "\n".join(parts) + "\n"


def commands_page() -> str:
    """Every command with its usage and options."""
    parser = build_parser([], whole=True)
    commands = next(a.choices for a in parser._actions if isinstance(a, argparse._SubParsersAction))
    parts = [
        "# Commands\n",
        "`soapfilm COMMAND --help` prints the same. An error is one line that names the file, the "
        "part and the place. Exit codes: 0 done, 1 not solved, 2 something in the input or the "
        "options must change.\n",
        "| command | what it is for |\n| --- | --- |",
        *(f"| [`soapfilm {name}`](#{name}) | {_cell(words)} |" for name, words in COMMANDS.items()),
    ]
    for name in COMMANDS:
        parts.append(_command(name, commands[name]))
    former = ", ".join(f"`{old}` is `{new}`" for old, new in FORMER_OPTIONS.items())
    parts.append(f"\n## Former names of options\n\n{former}; the program says so itself.")
    return "\n".join(parts) + "\n"


def _file(name: str) -> str:
    return file_page(file_kind(name))


def _table(table: Table) -> str:
    lines = [f"\n## {_heading(table)} {{ #{_anchor(table)} }}\n", f"{_sentence(table.words)}\n"]
    if table.keys:
        lines.append("| key | holds | what it means | default |\n| --- | --- | --- | --- |")
        lines += [_row(key) for key in table.keys]
    if table.free:
        lines.append(f"\nFurther keys are {_cell(table.free)}.")
    return "\n".join(lines)


def _row(key: Key) -> str:
    holds = (
        " or ".join(f'`"{choice}"`' for choice in key.choices)
        if key.choices
        else _HOLDS.get(key.holds, key.holds)
    )
    like = f"like `{key.example}`" if key.example and not key.choices else ""
    default = "**needed**" if key.needed else _cell(key.default)
    told = ", ".join(word for word in (holds, _cell(like)) if word)
    return f"| `{key.name}` | {told} | {_cell(key.words)} | {default} |"


def _profiles() -> str:
    lines = [
        "\n## Attributes of the profiles { #profiles }\n",
        '`profile = "I"`, `"IShape"` and `"IfcIShapeProfileDef"` name the same profile. '
        "Attributes in brackets may be left out.\n",
        "| profile | attributes |\n| --- | --- |",
    ]
    for name in PROFILES:
        told = (f"`{a.ifc}`" if a.required else f"(`{a.ifc}`)" for a in profile_attributes(name))
        lines.append(f"| `{name}` | {', '.join(told)} |")
    return "\n".join(lines)


def _command(name: str, parser: argparse.ArgumentParser) -> str:
    usage = " ".join(parser.format_usage().removeprefix("usage: ").split())
    lines = [f"\n## `soapfilm {name}` {{ #{name} }}\n", f"{_sentence(parser.description or '')}\n"]
    lines.append(f"```text\n{_folded(usage)}\n```\n")
    lines.append("| option | what it does |\n| --- | --- |")
    for action in parser._actions:
        words = action.help or ""
        if words == argparse.SUPPRESS or isinstance(action, argparse._HelpAction):
            continue
        expanded = parser._get_formatter()._expand_help(action) if action.help else ""
        lines.append(f"| {_option(action)} | {_cell(expanded)} |")
    if parser.epilog:
        lines.append(f"\n```text\n{parser.epilog.strip()}\n```")
    return "\n".join(lines)


def _option(action: argparse.Action) -> str:
    chosen = action.choices is not None and not action.metavar
    value = "" if chosen or action.nargs == 0 else str(action.metavar or action.dest.upper())
    names = action.option_strings or [""]
    told = ", ".join(f"`{f'{name} {value}'.strip()}`" for name in names)
    if not chosen:
        return told
    choices = ", ".join(f"`{choice}`" for choice in action.choices or ())
    return f"{told}: {choices}" if action.option_strings else choices


def _folded(usage: str) -> str:
    """The usage in lines, an option never cut."""
    lines, width = [""], 72
    for part in re.findall(r"\[[^\]]*\](?: \.\.\.\])?|\S+", usage):
        if len(lines[-1]) + len(part) > width:
            lines.append("    ")
        lines[-1] += f"{part} "
    return "\n".join(line.rstrip() for line in lines)


def _heading(table: Table) -> str:
    if table.form == "inner":
        return f"`{table.name} = {{ ... }}`"
    return f"`{table.heading}`" if table.name else "Top of the file"


def _anchor(table: Table) -> str:
    return re.sub(r"\W+", "-", table.name) or "top"


def _sentence(words: str) -> str:
    words = _cell(words).rstrip(".")
    return f"{words[:1].upper()}{words[1:]}."


def _cell(words: str) -> str:
    """Words fit for a cell of a table: what Markdown would take for its own is not."""
    parts = re.split(r"(`[^`]*`)", " ".join(words.split()))
    for k, part in enumerate(parts):
        if not part.startswith("`"):
            part = re.sub(r"([*_<\[\]$])", r"\\\1", part)
        parts[k] = part.replace("|", "\\|")
    return "".join(parts)


if __name__ == "__main__":
    print(pages()[sys.argv[1]]())
