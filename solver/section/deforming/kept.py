"""Reduced sections kept on disk, under their content: a second run of a member need not solve them.

One file a question, of arrays and a short text that says how they go together: numbers, never
code. Files are written whole or not at all, their parts carry checksums, and a damaged one is taken
away, said, and solved anew. When the folder is full, files used longest ago go first. A folder that
cannot be used is no store: nothing here ends a run.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
import tempfile
import time
import zipfile
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from ..mesh.section_mesh import SectionMesh
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .reduced import ReducedSection

#: Most bytes kept, and the part of them that one clean-up frees.
LIMIT = 256 * 2**20
_FREED = 0.25
#: Seconds after which a half-written file is nobody's.
_REST = 3600.0
#: What may be in a file, by name.
_CLASSES = {c.__name__: c for c in (ReducedSection, Fields, Elastic, SectionMesh)}
_PACKAGE = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True)
class KeptSections:
    """A bounded folder of answers.

    Attributes
    ----------
    folder : Path
    limit : int
        Most bytes kept.
    """

    folder: Path
    limit: int = LIMIT

    def get(self, key: str) -> tuple[ReducedSection, ...] | None:
        """The answer under a key; None where there is none that can be read."""
        path = self._path(key)
        try:
            with open(path, "rb") as file, np.load(file, allow_pickle=False) as held:
                found = _raised(json.loads(str(held["plan"])), held)
        except OSError:
            return None
        except (ValueError, KeyError, TypeError, IndexError, EOFError, zipfile.BadZipFile):
            with contextlib.suppress(OSError):
                path.unlink()
            print(
                f"soapfilm: the kept section {path} was damaged: taken away, and solved anew",
                file=sys.stderr,
            )
            return None
        with contextlib.suppress(OSError):
            os.utime(path)
        return found

    def put(self, key: str, sections: tuple[ReducedSection, ...]) -> None:
        """Keep an answer."""
        arrays: list[np.ndarray[Any, Any]] = []
        seen: dict[int, int] = {}
        objects: list[Any] = []
        plan = {"sections": [_laid(s, arrays, objects, seen) for s in sections], "objects": objects}
        with contextlib.suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(dir=self.folder, suffix=".part")
            try:
                with os.fdopen(handle, "wb") as file:
                    named = {f"a{k}": array for k, array in enumerate(arrays)}
                    np.savez(file, plan=np.array(json.dumps(plan)), **named)  # type: ignore[arg-type]
                os.replace(name, self._path(key))
            except BaseException:
                with contextlib.suppress(OSError):
                    os.unlink(name)
                raise
            self._make_room()

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}.npz"

    def _make_room(self) -> None:
        for rest in self.folder.glob("*.part"):  # of a run that was ended while it wrote
            if time.time() - rest.stat().st_mtime > _REST:
                rest.unlink()
        held = [(p.stat().st_mtime, p.stat().st_size, p) for p in self.folder.glob("*.npz")]
        surplus = sum(size for _, size, _ in held) - self.limit
        if surplus <= 0:
            return
        surplus += int(_FREED * self.limit)
        for _, size, path in sorted(held)[:-1]:
            if surplus <= 0:
                break
            path.unlink()
            surplus -= size


def key_of(question: object) -> str:
    """A name for a question, with all that its answer depends on: the program's own text too."""
    return hashlib.sha256(f"{_program()} {question!r}".encode()).hexdigest()


@cache
def _program() -> str:
    """The state of the modules that solve sections, and of numpy."""
    own = hashlib.sha256(np.__version__.encode())
    for room in ("section", "../geometry"):
        for path in sorted((_PACKAGE / room).rglob("*.py")):
            state = path.stat()
            own.update(f"{path.name} {state.st_size} {state.st_mtime_ns} ".encode())
    return own.hexdigest()


def _laid(value: Any, arrays: list[Any], objects: list[Any], seen: dict[int, int]) -> Any:
    """A value as JSON, its arrays and objects by number: what is shared stays shared."""
    if isinstance(value, np.ndarray):
        if id(value) not in seen:
            seen[id(value)] = len(arrays)
            arrays.append(value)
        return {"array": seen[id(value)]}
    if type(value).__name__ in _CLASSES:
        if id(value) not in seen:
            parts = {
                f.name: _laid(getattr(value, f.name), arrays, objects, seen) for f in fields(value)
            }
            seen[id(value)] = len(objects)
            objects.append({"class": type(value).__name__, "parts": parts})
        return {"object": seen[id(value)]}
    if isinstance(value, tuple):
        return [str(v) for v in value]
    if value is None or isinstance(value, str | int):
        return value
    return {"float": float(value).hex()}


def _raised(plan: dict[str, Any], held: Any) -> tuple[ReducedSection, ...]:
    arrays: dict[int, Any] = {}
    objects: list[Any] = []

    def value(given: Any) -> Any:
        if isinstance(given, list):
            return tuple(given)
        if not isinstance(given, dict):
            return given
        if "array" in given:
            number = given["array"]
            if number not in arrays:
                arrays[number] = held[f"a{number}"]
            return arrays[number]
        if "float" in given:
            return float.fromhex(given["float"])
        return objects[given["object"]]

    for one in plan["objects"]:
        parts = {name: value(part) for name, part in one["parts"].items()}
        objects.append(_CLASSES[one["class"]](**parts))
    found = tuple(value(one) for one in plan["sections"])
    if not all(isinstance(one, ReducedSection) for one in found):
        raise ValueError("not sections")
    return found
