"""The frame of the command: one line and the right exit code for whatever goes wrong."""

from __future__ import annotations

import os
import subprocess
import sys
from types import ModuleType

import pytest
from soapfilm.cli import main as program
from soapfilm.cli.failure import Failure, about
from soapfilm.geometry.errors import GeometryError, InputError, MeshError, SolveError, UnitError


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """A command whose `error` attribute says what it raises."""
    module = ModuleType("soapfilm.cli.failing")

    def run(options: object) -> None:
        if module.error is not None:
            raise module.error

    module.arguments = lambda parser: None  # type: ignore[attr-defined]
    module.run = run  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "soapfilm.cli.failing", module)
    monkeypatch.setitem(program.COMMANDS, "failing", "fails")
    return module


def test_options_may_stand_anywhere() -> None:
    """argparse takes a list of words only where it stands in one piece."""
    words = ["stress", "--unit", "mm", "a.toml", "T = 1 kN*m", "--json", "N = 2 kN", "V_y = 3 kN"]
    options = program.build_parser(words).parse_args(words)
    assert (options.file, options.unit, options.json) == ("a.toml", "mm", True)
    assert options.actions == ["T = 1 kN*m", "N = 2 kN", "V_y = 3 kN"]
    words = ["compare", "a.toml", "--equal", "area", "b.toml"]
    assert program.build_parser(words).parse_args(words).sections == ["a.toml", "b.toml"]
    assert program.build_parser(["demo"]).parse_args(["demo"]).name == "landing-deck"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["stress"], "the following arguments are required: FILE (see soapfilm stress --help)"),
        (["section", "a.toml", "--acuracy", "1"], "--acuracy 1; did you mean --accuracy? (see"),
        (["section", "a.toml", "b.toml"], "arguments: b.toml (see soapfilm section --help)"),
        (["section", "a.toml", "--unit", "yd"], "argument --unit: invalid choice: 'yd'"),
        (["sectoin", "a.toml"], "invalid choice: 'sectoin'"),
    ],
)
def test_slips_in_options(capsys: pytest.CaptureFixture[str], words: list[str], says: str) -> None:
    assert program.main(words) == 2
    err = capsys.readouterr().err
    assert err.startswith("soapfilm: error: ")
    assert err.count("\n") == 1
    assert says in err


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (GeometryError("hole 2 crosses the outline"), 2, "hole 2 crosses the outline"),
        (UnitError("no unit"), 2, "no unit"),
        (SolveError("did not converge"), 1, "did not converge"),
        (MeshError("no mesh near (1, 2)"), 1, "no mesh near (1, 2)"),
        (FileNotFoundError(2, "No such file or directory", "x.toml"), 2, "x.toml: No such file"),
        (PermissionError(13, "Permission denied", "out.svg"), 2, "out.svg: Permission denied"),
        (
            FileNotFoundError(2, "No such file or directory"),
            2,
            "no longer there; change to another",
        ),
        (OSError(24, "Too many open files"), 2, "Too many open files; allow more (ulimit -n)"),
        (Failure("x" * 5000 + ".toml: no such file", 2), 2, "xxx...: no such file"),
        (MemoryError(), 1, "not enough memory"),
        (KeyboardInterrupt(), 130, "stopped"),
        (ZeroDivisionError("division by zero"), 1, "unexpected ZeroDivisionError"),
        (RecursionError("too deep"), 1, "unexpected RecursionError"),
        (InputError("two\nlines\x1b[31m\tand more"), 2, "two lines [31m and more"),
    ],
)
def test_errors_are_one_line_with_their_code(
    failing: ModuleType,
    capsys: pytest.CaptureFixture[str],
    error: BaseException,
    code: int,
    words: str,
) -> None:
    failing.error = error  # type: ignore[attr-defined]
    assert program.main(["failing"]) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("soapfilm: error: ")
    assert words in err
    assert err.count("\n") == 1
    assert err.strip().isprintable()


def test_a_traceback_is_shown_when_asked_for(
    failing: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing.error = ZeroDivisionError()  # type: ignore[attr-defined]
    monkeypatch.setenv("SOAPFILM_TRACEBACK", "1")
    with pytest.raises(ZeroDivisionError):
        program.main(["failing"])


def test_success_is_zero(failing: ModuleType) -> None:
    failing.error = None  # type: ignore[attr-defined]
    assert program.main(["failing"]) == 0


@pytest.mark.parametrize(
    ("error", "code"), [(GeometryError("crosses"), 2), (SolveError("too thin"), 1)]
)
def test_the_file_is_named_once(error: Exception, code: int) -> None:
    def fail(message: Exception) -> None:
        with about("deck.toml"):
            raise message

    with pytest.raises(Failure, match=f"^deck.toml: {error}$") as caught:
        fail(error)
    assert caught.value.code == code
    with pytest.raises(Failure, match=r"^deck.toml: already named$"):
        fail(InputError("deck.toml: already named"))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "COMMAND"),
        (["nonsense"], "'nonsense'"),
        (["section"], "FILE"),
        (["section", "a.toml", "--no-such-option"], "--no-such-option"),
        (["section", "a.toml", "--unit", "furlong"], "furlong"),
        (["section", "a.toml", "--accuracy", "none"], "relative width"),
        (["section", "a.toml", "--accuracy", "2"], "relative width"),
        (["section", "a.toml", "--accuracy", "nan"], "relative width"),
        (["section", "a.toml", "--figure", "a.bmp"], "kind of figure"),
        (["section", "a.toml", "--figure", "a"], "kind of figure"),
    ],
)
def test_usage_errors_are_one_line(
    capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    assert program.main(words) == 2
    _, err = capsys.readouterr()
    assert err.startswith("soapfilm: error: ")
    assert says in err
    assert err.count("\n") == 1


@pytest.mark.parametrize("words", [["--help"], ["section", "--help"], ["demo", "--help"]])
def test_help_is_given(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    assert program.main(words) == 0
    assert "usage: soapfilm" in capsys.readouterr().out


def test_every_command_has_its_module() -> None:
    import importlib

    for name in program.COMMANDS:
        module = importlib.import_module(f"soapfilm.cli.{name}")
        assert callable(module.arguments)
        assert callable(module.run)


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    from importlib.metadata import version

    assert program.main(["--version"]) == 0
    assert capsys.readouterr().out == f"soapfilm {version('soapfilm')}\n"


@pytest.mark.skipif(sys.platform == "win32", reason="no such shell")
def test_a_reader_that_leaves_is_no_error() -> None:
    """As in ``soapfilm section a.toml --json | head -1``."""
    line = f"{sys.executable} -m soapfilm.cli demo --list | true"
    done = subprocess.run(
        ["bash", "-c", f"set -o pipefail; {line}"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0
    assert done.stderr == ""


def test_numerics_use_one_thread_unless_told_otherwise(
    monkeypatch: pytest.MonkeyPatch, failing: ModuleType
) -> None:
    """On a busy machine threads made a curved box take 55 s instead of 7."""
    monkeypatch.delenv("OMP_NUM_THREADS", raising=False)
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "2")
    failing.error = None  # type: ignore[attr-defined]
    program.main(["failing"])
    assert os.environ["OMP_NUM_THREADS"] == "1"
    assert os.environ["OPENBLAS_NUM_THREADS"] == "2"
