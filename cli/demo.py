"""`soapfilm demo`: the bundled examples, listed, written to a folder, and one of them run."""

from __future__ import annotations

import argparse
import json
import shlex
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path

from ..geometry.errors import InputError
from ..report.files import write_text
from . import joint, member, section

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
    try:
        (folder / "schema").mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = error.strerror or str(error)
        said = f"cannot make the folder {folder}: {why}; give another --folder"
        raise InputError(said) from error
    for kind in ("section", "member", "joint"):
        _write(folder / "schema" / f"{kind}.json", schema_text(kind))
    for name, text in examples.items():
        _write(folder / f"{name}.toml", with_schema(text))
    print(f"The examples, all invented, are in {folder}:")
    print(listing(examples))
    text = examples[options.name]
    words_for = _member_words if is_member(text) else _joint_words if is_joint(text) else None
    _run((words_for or _section_words)(folder / f"{options.name}.toml"))


def is_member(text: str) -> bool:
    """Whether an example is a member file; a section file has no spans."""
    return any(line.strip() == "[[span]]" for line in text.splitlines())


def is_joint(text: str) -> bool:
    """Whether an example is a file of joints alone."""
    return not is_member(text) and any(line.startswith("[[joint]]") for line in text.splitlines())


def schema_text(kind: str) -> str:
    """The JSON Schema of a kind of file, by which editors complete and check it."""
    from ..geometry.keys.description import file_kind
    from ..geometry.keys.schema import schema_of

    return json.dumps(schema_of(file_kind(kind)), indent=1, ensure_ascii=False) + "\n"


def with_schema(text: str) -> str:
    """An example whose first line tells editors its schema."""
    kind = "member" if is_member(text) else "joint" if is_joint(text) else "section"
    return f"#:schema schema/{kind}.json\n{text}"


def _joint_words(file: Path) -> list[str]:
    return ["joint", str(file), "--figure", str(file.with_suffix(".png"))]


def _section_words(file: Path) -> list[str]:
    shear, warping = (str(file.with_name(f"{file.stem}-{w}.png")) for w in ("shear", "warping"))
    return ["section", str(file), "--figure", shear, "--warping-figure", warping]


def _member_words(file: Path) -> list[str]:
    return ["member", str(file), "--figure", str(file.with_suffix(".png"))]


def _run(words: list[str]) -> None:
    """Show a command as it would be typed, and run it."""
    print(f"soapfilm {shlex.join(words)}\n")
    command = {"section": section, "member": member, "joint": joint}[words[0]]
    parser = argparse.ArgumentParser()
    command.arguments(parser)
    command.run(parser.parse_args(words[1:]))


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
