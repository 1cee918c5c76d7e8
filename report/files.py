"""Writing a file so that it is either whole or untouched.

Everything is written beside its destination first and moved there in one step, so an existing file
survives a full disk, a failed figure or an interrupt, and no reader ever sees half a file.
"""

from __future__ import annotations

import os
import shutil
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ..geometry.errors import InputError
from ..geometry.input_file import read_as

#: Letters of the destination's name in that of the file beside it, which must not grow too long.
_SHARED = 40


@contextmanager
def replacing(path: str | os.PathLike[str]) -> Iterator[Path]:
    """A path to write to, which takes the place of `path` when the block ends without an error.

    The yielded path has the same extension. A link is followed, so it stays a link; an existing
    file keeps its permissions. A device such as ``/dev/stdout`` is written through, not replaced.

    Raises
    ------
    InputError
        If the folder does not exist or cannot be written to, `path` is a folder, or a file that
        was read; or the system refuses to write it, for want of room, say.
    """
    target = check_writable(path)
    try:
        with _replaced(target) as temporary:
            yield temporary
    except BrokenPipeError:  # the reader of a device has enough
        raise
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError(f"cannot write {path}: {why}; make room, or name another place") from error


@contextmanager
def _replaced(target: Path) -> Iterator[Path]:
    passthrough = target.exists() and not target.is_file()
    folder = None if passthrough else target.parent
    prefix = f".{target.stem[:_SHARED]}-"
    handle, name = tempfile.mkstemp(prefix=prefix, suffix=target.suffix, dir=folder)
    os.close(handle)
    temporary = Path(name)
    try:
        yield temporary
        if passthrough:
            with temporary.open("rb") as source, target.open("wb") as device:
                shutil.copyfileobj(source, device)
        else:
            temporary.chmod(_permissions(target))
            temporary.replace(target)
    finally:
        temporary.unlink(missing_ok=True)


def check_writable(path: str | os.PathLike[str]) -> Path:
    """The destination with links followed; called before long work, so that it is not done in vain.

    Raises
    ------
    InputError
        As `replacing` does.
    """
    target = Path(path).resolve()
    source = read_as(target)
    if source is not None:
        also = "" if source == str(path) else f", read as {source}"
        raise InputError(f"cannot write {path}: it is an input of this command{also}; name another")
    if target.is_dir():
        raise InputError(f"cannot write {path}: it is a folder; give a file name in it")
    if target.is_fifo():  # opening it would wait until somebody reads
        raise InputError(f"cannot write {path}: it is a pipe; give a file name")
    if not target.parent.is_dir():
        raise InputError(
            f"cannot write {path}: the folder {target.parent} does not exist; make it first"
        )
    if not os.access(target.parent if not target.exists() or target.is_file() else target, os.W_OK):
        raise InputError(f"cannot write {path}: no permission to write in {target.parent}")
    return target


def write_text(path: str | os.PathLike[str], text: str) -> None:
    """Write UTF-8 text, whole or not at all (see `replacing`); bytes of a file's name that are no
    UTF-8 become question marks."""
    write_bytes(path, text.encode(errors="replace"))


def write_bytes(path: str | os.PathLike[str], data: bytes) -> None:
    """Write bytes, whole or not at all (see `replacing`)."""
    with replacing(path) as temporary, temporary.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _permissions(target: Path) -> int:
    """Mode of the file to be replaced, or that of a newly opened one (mkstemp gives 0600)."""
    if target.exists():
        return stat.S_IMODE(target.stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
