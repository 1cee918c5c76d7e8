"""`soapfilm completion SHELL`: a script by which a shell completes commands, options and files."""

from __future__ import annotations

import argparse

from ..geometry.errors import InputError

_SHELLS = ("bash", "zsh", "tcsh")
#: What stands for a file in the help, and so is completed from the folder.
_FILES = ("FILE", "PATH", "SECTION")
#: Files, in the words of the three shells (as the library `shtab` takes them).
_ANY_FILE = {"bash": "_shtab_compgen_files", "zsh": "_files", "tcsh": "f"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("shell", choices=_SHELLS, help="whose language the script is in")


def run(options: argparse.Namespace) -> None:
    """Print the script."""
    try:
        import shtab  # type: ignore[import-not-found,import-untyped,unused-ignore]
    except ImportError as error:
        raise InputError(
            "completion needs the library shtab; install it with: pip install 'soapfilm[shell]'"
        ) from error
    from .main import build_parser

    parser = build_parser((), whole=True)
    _name_files(parser)
    print(shtab.complete(parser, options.shell))


def _name_files(parser: argparse.ArgumentParser) -> None:
    """Mark what is completed from the folder, in this parser and those of its commands."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                _name_files(command)
        elif action.metavar in _FILES:
            action.complete = _ANY_FILE  # type: ignore[attr-defined]
