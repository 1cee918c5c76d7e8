"""`soapfilm keys [WORD]`: what files may say, on the terminal or as JSON Schema."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..geometry.keys.description import FILES

if TYPE_CHECKING:
    from ..geometry.keys.description import FileKind, Key, Table


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument(
        "word", nargs="?", metavar="WORD", help="a key, a table, or a word of what it means"
    )
    parser.add_argument(
        "--file", choices=tuple(FILES), help="only what this kind of file may say, all of it"
    )
    parser.add_argument(
        "--schema",
        choices=tuple(FILES),
        help="print the JSON Schema of this kind of file, for editors",
    )


def run(options: argparse.Namespace) -> None:
    """List the tables, or tell about a word."""
    from ..geometry.keys.description import file_kind

    if options.schema:
        from .demo import schema_text

        print(schema_text(options.schema), end="")
    elif options.word:
        _tell(options.word, options.file)
    elif options.file:
        _whole(file_kind(options.file))
    else:
        _overview([file_kind(name) for name in FILES])


def _overview(kinds: list[FileKind]) -> None:
    from ..report.text.blocks import HeadedRows
    from ..report.text.rendering import folded, render_rows, titled

    for kind in kinds:
        print("\n".join(titled(f"{kind.name} file: {kind.words}", "-")))
        rows = [[table.heading, table.words] for table in kind.tables if table.form != "inner"]
        print(render_rows(HeadedRows(["table", "what it describes"], [], rows, words=2)))
    print(folded(["All keys of a file: soapfilm keys --file member. One word: soapfilm keys at."]))


def _whole(kind: FileKind) -> None:
    from ..report.text.rendering import folded, titled

    print("\n".join(titled(f"{kind.name} file: {kind.words}; read by {kind.command}")))
    for table in kind.tables:
        print("\n" + "\n".join(titled(f"{table.heading}: {table.words}", "-")))
        if table.keys:
            print(_grid([(table, key) for key in table.keys], with_table=False), end="")
        if table.free:
            print(folded([f"Further keys are {table.free}."]), end="")


def _tell(word: str, file: str | None) -> None:
    from ..geometry.keys.lookup import found, nearest
    from ..report.text.rendering import titled

    hits = [hit for hit in found(word) if file in (None, hit[0].name)]
    if not hits:
        near = nearest(word)
        hint = f"did you mean {' or '.join(near)}?" if near else "soapfilm keys lists the tables"
        raise InputError(f"no file has a key or a table {word[:40]!r}; {hint}")
    first = True
    for kind in dict.fromkeys(hit[0].name for hit in hits):
        own = [hit for hit in hits if hit[0].name == kind]
        print("" if first else "\n", end="")
        first = False
        print("\n".join(titled(f"{kind} file", "-")))
        rows = [(table, key) for _, table, key in own if key is not None]
        for _, table, key in own:
            if key is None:
                print(f"{table.heading}: {table.words}")
                rows += [(table, k) for k in table.keys]
        print(_grid(rows, with_table=True), end="")


def _grid(rows: list[tuple[Table, Key]], *, with_table: bool) -> str:
    from ..report.text.blocks import HeadedRows
    from ..report.text.rendering import render_rows

    cells = []
    for table, key in dict.fromkeys(rows):
        holds = " or ".join(f'"{c}"' for c in key.choices) if key.choices else key.holds
        default = "needed" if key.needed else key.default
        line = [key.name, holds, key.words, default, key.example]
        cells.append([table.heading, *line] if with_table else line)
    heads = ["key", "holds", "what it means", "default", "like"]
    return render_rows(HeadedRows(["table", *heads] if with_table else heads, [], cells, words=6))
