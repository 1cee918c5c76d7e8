"""`soapfilm demo`: the bundled examples, listed, written to a folder, and one of them run."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path

from ..geometry.errors import InputError
from ..report.files import write_text
from . import member, section
from .options import ACCURACY

#: The example that runs when none is named: the section the tool was made for.
FIRST = "landing-deck"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("name", nargs="?", default=FIRST, help=f"example to run (default {FIRST})")
    parser.add_argument(
        "--folder",
        default="soapfilm-demo",
        metavar="DIR",
        help="where the examples and figures go (default soapfilm-demo)",
    )
    parser.add_argument("--list", action="store_true", help="list the examples and do nothing else")


def run(options: argparse.Namespace) -> None:
    """List the examples, write them, run one."""
    examples = bundled()
    if options.list:
        print(listing(examples), end="")
        return
    if options.name not in examples:
        near = get_close_matches(options.name, examples, 1)
        hint = f"did you mean {near[0]}?" if near else f"choose from {', '.join(examples)}"
        raise InputError(f"there is no example {options.name!r}; {hint}")
    folder = Path(options.folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in examples.items():
        _write(folder / f"{name}.toml", text)
    print(f"The examples, all invented, are in {folder}:")
    print(listing(examples))
    run_example = _run_member if is_member(examples[options.name]) else _run_section
    run_example(folder, options.name)


def is_member(text: str) -> bool:
    """Whether an example is a member file; a section file has no spans."""
    return any(line.strip() == "[[span]]" for line in text.splitlines())


def _run_section(folder: Path, name: str) -> None:
    file = folder / f"{name}.toml"
    shear, warping = (folder / f"{name}-{word}.png" for word in ("shear", "warping"))
    print(f"soapfilm section {file} --figure {shear} --warping-figure {warping}\n")
    arguments = argparse.Namespace(
        file=str(file),
        unit=None,
        output_unit=None,
        accuracy=ACCURACY,
        figure=str(shear),
        warping_figure=str(warping),
        json=False,
    )
    section.run(arguments)


def _run_member(folder: Path, name: str) -> None:
    file, figure = folder / f"{name}.toml", folder / f"{name}.png"
    print(f"soapfilm member {file} --figure {figure}\n")
    arguments = argparse.Namespace(
        file=str(file),
        figure=str(figure),
        combination=None,
        csv=None,
        no_cures=False,
        json=False,
    )
    member.run(arguments)


def bundled() -> Mapping[str, str]:
    """Name and text of each example in the package, by name."""
    folder = Path(__file__).parent / "examples"
    return {path.stem: path.read_text("utf-8") for path in sorted(folder.glob("*.toml"))}


def listing(examples: Mapping[str, str]) -> str:
    """One line an example: its name and what its first comment says of it."""
    width = max(map(len, examples))
    lines = [f"  {n.ljust(width)}  {t.splitlines()[0].lstrip('# ')}" for n, t in examples.items()]
    return "\n".join(lines) + "\n"


def _write(path: Path, text: str) -> None:
    """Write an example, but never over one that its reader has changed."""
    if path.exists() and path.read_text("utf-8") != text:
        print(f"{path} differs from the bundled example and stays as it is")
        return
    write_text(path, text)
