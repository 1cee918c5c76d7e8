"""The `soapfilm` command: finds the command asked for, imports it alone, and words what goes wrong.

A command is a module of this folder with `arguments(parser)` and `run(options)`. Only the chosen
one is imported, and those import numerics inside `run`, so help and usage errors come at once.
"""

from __future__ import annotations

import argparse
import contextlib
import importlib
import os
import sys
import warnings
from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from typing import NoReturn, TextIO

from ..geometry.input_file import remember, remembered
from ..report.text.markup import MARKUPS, written_as
from ..report.text.terminal import PLAIN
from ..solver.threads import use_one_thread
from .failure import INPUT, exit_code, sentence, wants_traceback
from .options import tables

#: Each command's name, which is its module's name too, and its line in the help.
COMMANDS = {
    "section": "torsion and section properties of an outline, with a guaranteed interval for J",
    "stress": "stresses of a section under any combination of actions",
    "buckle": "elastic buckling of a section by half-wavelength: what buckles, and at which load",
    "member": "twist, stress and reactions of a member under its loads, and remedies",
    "influence": "influence lines of any result of a member, for a load along lines of its section",
    "vibrate": "natural frequencies and modes of a member, and whether people walking excite them",
    "joint": "bolts, welds and plates of a joint: stiffness, slip, every bolt's force",
    "report": "one self-contained page: properties, live stresses, figures, checks, sources",
    "compare": "sections side by side, at equal area or weight, alone or in a member",
    "size": "the lightest section that keeps the limits of a member",
    "pays": "where material pays: derivatives of a section's or member's results to its numbers",
    "sweep": "a study over parameters of a section or member, on one machine or many",
    "draw": "see a section before it is solved, and write its outline as a drawing",
    "shapes": "rolled shapes by name: search them, and table beside solution",
    "keys": "what files may say: every table and key, and JSON Schema for editors",
    "demo": "list, write and run the bundled examples",
    "desk": "sections and members under the hand: drag a dimension, see J follow, in the browser",
    "doctor": "what this machine has of what the program needs, each tried",
    "completion": "a script by which bash, zsh or tcsh completes commands, options and files",
}

#: Commands that print no table of results.
_WITHOUT_TABLES = ("demo", "desk", "completion")

#: Former name of an option, and the name it has now.
FORMER_OPTIONS = {"--no-cures": "--no-remedies"}

DESCRIPTION = """\
Torsion of real members: from any cross-section's outline to its torsion constant with a
guaranteed interval, its other properties and its stresses."""

EPILOG = """\
Linear elastic theory. Local codes and a licensed engineer decide.
Exit codes: 0 done, 1 not solved, 2 something in the input or the options must change."""


class Parser(argparse.ArgumentParser):
    """An argument parser whose errors are one line like all others."""

    def error(self, message: str) -> NoReturn:
        """Leave with the usage error; argparse would print the usage first."""
        print(
            f"soapfilm: error: {sentence(UsageError(message))} (see {self.prog} --help)",
            file=sys.stderr,
        )
        raise SystemExit(INPUT)


class CommandParser(Parser):
    """A command's own parser: what is no option may stand before, between and after options.

    argparse by itself gives a list of words only those before the first option.
    """

    _mixing = False

    def parse_known_args(self, args=None, namespace=None):  # type: ignore[no-untyped-def]
        """As `parse_known_intermixed_args`, which calls this in turn for each of its passes."""
        if self._mixing:
            return super().parse_known_args(args, namespace)
        self._mixing = True
        try:
            options, unknown = self.parse_known_intermixed_args(args, namespace)
        finally:
            self._mixing = False
        if unknown:
            word = unknown[0].split("=")[0]
            if word in FORMER_OPTIONS:
                self.error(f"{word} is called {FORMER_OPTIONS[word]} now; write that instead")
            near = get_close_matches(unknown[0], self._option_string_actions, 1)
            hint = f"; did you mean {near[0]}?" if near else ""
            self.error(f"unrecognized arguments: {' '.join(unknown)}{hint}")
        return options, unknown


class UsageError(OSError):
    """Options that cannot be understood or make no sense together."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code.

    Parameters
    ----------
    arguments : sequence of str, optional
        What follows the program's name; the process's own arguments when left out.
    """
    words = list(sys.argv[1:] if arguments is None else arguments)
    use_one_thread()
    _open_streams()
    _prepare_streams()
    try:
        options = build_parser(words).parse_args(words)
        with remembered():
            for path in _given_files(options):
                remember(path)
            _quieten_libraries()
            with written_as(getattr(options, "tables", MARKUPS[0])):
                code = _command(options.command).run(options)
        sys.stdout.flush()
        return int(code or 0)
    except SystemExit as leaving:  # help, version, usage errors
        return leaving.code if isinstance(leaving.code, int) else INPUT
    except BrokenPipeError:
        # The reader (head, less) has enough. What is left in the buffer must not fail again at
        # exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except (Exception, KeyboardInterrupt) as error:
        if wants_traceback():
            raise
        with contextlib.suppress(OSError):  # where even this cannot be written the code tells it
            print(f"soapfilm: error: {sentence(error)}", file=sys.stderr)
        return exit_code(error)


def build_parser(words: Sequence[str], *, whole: bool = False) -> Parser:
    """The parser for these words: all commands by name, the options of the chosen one only, or of
    all when the `whole` parser is asked for."""
    parser = Parser(
        prog="soapfilm",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_Version)
    commands = parser.add_subparsers(
        dest="command", metavar="COMMAND", required=True, parser_class=CommandParser
    )
    chosen = next((word for word in words if not word.startswith("-")), None)
    for name, line in COMMANDS.items():
        sub = commands.add_parser(
            name,
            help=line,
            description=f"{line[0].upper()}{line[1:]}.",
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        if whole or name == chosen:
            _command(name).arguments(sub)
            if name not in _WITHOUT_TABLES:
                tables(sub)
    return parser


def _given_files(options: argparse.Namespace) -> Iterator[str]:
    """Files named on the command line to be read: outputs are checked against them before the
    work."""
    for name in ("file", "cases", "member", "sections", "compare"):
        value = getattr(options, name, None)
        yield from value if isinstance(value, list) else [value] if value else []


class _Version(argparse.Action):
    """Looks the version up only when it is asked for."""

    def __init__(self, option_strings: Sequence[str], dest: str) -> None:
        super().__init__(
            option_strings, argparse.SUPPRESS, nargs=0, help="print the version and leave"
        )

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        from importlib.metadata import version

        print(f"soapfilm {version('soapfilm')}")
        raise SystemExit(0)


def _command(name: str):  # type: ignore[no-untyped-def]  # a module with `arguments` and `run`
    return importlib.import_module(f".{name}", __package__)


def _open_streams() -> None:
    """Standard streams that were closed lead nowhere: a file opened later would take their place,
    and what is printed go into it."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, os.fdopen(os.open(os.devnull, os.O_RDWR), mode, encoding="utf-8"))


def _quieten_libraries() -> None:
    """What libraries log of folders that they may not write to is no word on the result; `doctor`
    tells where they write instead. Without a handler Python would print it."""
    import logging

    for name in ("matplotlib", "ezdxf"):
        logging.getLogger(name).addHandler(logging.NullHandler())


def _prepare_streams() -> None:
    """Output must not fail for a character the terminal lacks, nor be mixed with warnings."""
    streams: tuple[TextIO, TextIO] = (sys.stdout, sys.stderr)
    for stream in streams:
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=PLAIN)
    if not sys.warnoptions:
        from ..report.drawing.fonts import FontWarning

        warnings.simplefilter("ignore")
        warnings.simplefilter("default", FontWarning)
        warnings.showwarning = _tell


def _tell(
    message: Warning | str,
    category: type[Warning],
    filename: str,
    lineno: int,
    file: TextIO | None = None,
    line: str | None = None,
) -> None:
    """A warning in one line."""
    print(f"soapfilm: note: {sentence(UsageError(str(message)))}", file=sys.stderr)
