"""Lessons: a question first, the answer by doing; Markdown, and the sheets it lays on the desk.

::

    +++
    view = "push"                       # "section", "push", "beside", "member" or "film"
    sheets = ["channel.toml"]           # files beside it
    # equal = "area"                    # beside and film: "area", "torque" or "twist"

    [push]
    force = [0, -2000]                  # N
    at = [0, 0]                         # in the sheet's unit
    length = "2 m"
    +++
    # Title

    The question.

    - [ ] a guess
    - [x] the right one

    ## Try it

    1. What to do.

    ## The answer

    Paragraphs.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..geometry.errors import InputError
from ..geometry.section_file.entry import naming
from ..geometry.section_file.text import parsed, read_text
from .wish import point

VIEWS = ("section", "push", "beside", "member", "film")
EQUALS = ("area", "torque", "twist")
LESSONS = Path(__file__).parent / "lessons"
_FENCE = "+++"
_CHOICE = re.compile(r"- \[([ x])\] (.+)")
_STEP = re.compile(r"\d+\. (.+)")
_TRY, _ANSWER = "## Try it", "## The answer"


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson.

    Attributes
    ----------
    name : str
        Of its file, without the ending.
    title, question : str
    choices : tuple of str
    right : int or None
        Which of them.
    steps, answer : tuples of str
    sheets : tuple of (name, text)
    view : str
        Of `VIEWS`: the way to work that it opens.
    equal : str or None
        Of `EQUALS`: by what sections side by side are made alike.
    push : mapping or None
        `force` (N), `at` (the sheet's unit) and `length` of a first push.
    """

    name: str
    title: str
    question: str
    choices: tuple[str, ...]
    right: int | None
    steps: tuple[str, ...]
    answer: tuple[str, ...]
    sheets: tuple[tuple[str, str], ...]
    view: str
    equal: str | None
    push: Mapping[str, Any] | None

    def message(self, number: int) -> dict[str, Any]:
        """As the page wants it."""
        sheets = [{"name": _called(name, text), "text": text} for name, text in self.sheets]
        words = ("name", "title", "question", "right", "view", "equal", "push")
        lists = {word: list(getattr(self, word)) for word in ("choices", "steps", "answer")}
        found: dict[str, Any] = {word: getattr(self, word) for word in words}
        return {**found, **lists, "sheets": sheets, "number": number}


def lessons_of(folder: Path | None = None) -> tuple[Lesson, ...]:
    """The lessons of a folder, in the order of their files' names.

    Parameters
    ----------
    folder : path, optional
        Left out: the project's own. Texts that do not begin with a line `+++` are no lessons.

    Raises
    ------
    InputError
        For a mistake in one; the message names its file.
    """
    home = folder or LESSONS
    found = []
    for path in sorted(home.glob("*.md")):
        with naming(path.name):
            text = read_text(path)
            if text.startswith(_FENCE):
                found.append(_lesson(path, text))
    return tuple(found)


def _lesson(path: Path, text: str) -> Lesson:
    head, fence, body = text[len(_FENCE) :].partition(f"\n{_FENCE}\n")
    if not fence:
        raise InputError(f"the head that begins with {_FENCE} has no end; close it by {_FENCE}")
    table = parsed(head)
    known = ("view", "equal", "sheets", "push")
    if odd := [key for key in table if key not in known]:
        raise InputError(f"{odd[0]!r} is not a key of a lesson; the keys are {', '.join(known)}")
    view, equal = _one_of(table, "view", VIEWS, "section"), _one_of(table, "equal", EQUALS, None)
    assert view is not None
    question, tried, rest = body.partition(f"\n{_TRY}\n")
    steps, answered, answer = rest.partition(f"\n{_ANSWER}\n")
    if not tried or not answered:
        raise InputError(f"a lesson has the headings {_TRY!r} and {_ANSWER!r}, in this order")
    lines = [line.strip() for line in question.strip().splitlines()]
    if not lines or not lines[0].startswith("# "):
        raise InputError('a lesson begins with its title, a line like "# Where to push a channel"')
    choices = [match for line in lines if (match := _CHOICE.fullmatch(line))]
    marks = [n for n, match in enumerate(choices) if match[1] == "x"]
    if choices and len(marks) != 1:
        raise InputError("mark one guess as the right one, - [x]")
    asked = " ".join(line for line in lines[1:] if line and not _CHOICE.fullmatch(line))
    if not asked:
        raise InputError("the question is missing; write it below the title")
    return Lesson(
        name=path.stem,
        title=lines[0][2:].strip(),
        question=asked,
        choices=tuple(match[2] for match in choices),
        right=marks[0] if marks else None,
        steps=tuple(
            match[1] for line in steps.splitlines() if (match := _STEP.fullmatch(line.strip()))
        ),
        answer=tuple(" ".join(p.split()) for p in answer.split("\n\n") if p.strip()),
        sheets=_sheets(path.parent, table.get("sheets")),
        view=view,
        equal=equal,
        push=_push(table.get("push")),
    )


def _one_of(
    table: Mapping[str, Any], key: str, known: tuple[str, ...], left_out: str | None
) -> str | None:
    value = table.get(key, left_out)
    if value is not None and value not in known:
        raise InputError(f"{key} must be one of {', '.join(known)}, got {str(value)[:40]!r}")
    return None if value is None else str(value)


def _sheets(folder: Path, names: object) -> tuple[tuple[str, str], ...]:
    if not isinstance(names, list) or not names or not all(isinstance(n, str) for n in names):
        raise InputError('sheets is missing; name the files it begins with: sheets = ["tube.toml"]')
    home, found = folder.resolve(), []
    for name in names:
        place = (home / name).resolve()
        if place.parent != home or place.suffix != ".toml":
            raise InputError(f"sheet {name[:60]!r}: name a .toml file beside the lesson")
        with naming(f"sheet {name[:60]!r}"):
            found.append((place.stem, read_text(place)))
    return tuple(found)


def _called(stem: str, text: str) -> str:
    """What a sheet calls itself; else the words of its file's name."""
    with suppress(InputError):
        if isinstance(name := parsed(text).get("name"), str) and name:
            return name
    return stem.replace("-", " ")


def _push(table: object) -> Mapping[str, Any] | None:
    if table is None:
        return None

    if not isinstance(table, dict) or set(table) != {"force", "at", "length"}:
        raise InputError(
            '[push] has force = [Fx, Fy] in N, at = [x, y] in the sheet\'s unit, length = "2 m"'
        )
    pairs = {key: list(point(table, key)) for key in ("force", "at")}
    return pairs | {"length": str(table["length"])}


def shelf(root: Path) -> tuple[Lesson, ...]:
    """Lessons that a desk offers: those of the folder that is open, then the project's own."""
    own = lessons_of(root)
    named = {lesson.name for lesson in own}
    return own + tuple(lesson for lesson in lessons_of() if lesson.name not in named)


def offered(root: Path) -> tuple[tuple[Lesson, ...], str]:
    """The same, and what is wrong with a lesson of the folder: then the project's own alone."""
    try:
        return shelf(root), ""
    except InputError as error:
        return lessons_of(), str(error)


def listed(lessons: Sequence[Lesson]) -> list[dict[str, Any]]:
    """Their titles, numbered."""
    return [
        {"name": lesson.name, "title": lesson.title, "number": n}
        for n, lesson in enumerate(lessons, 1)
    ]


def lesson_message(lessons: Sequence[Lesson], name: str) -> dict[str, Any]:
    """One of them whole.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    for n, lesson in enumerate(lessons, 1):
        if lesson.name == name:
            return lesson.message(n)
    raise InputError(f"there is no lesson {name[:60]!r} here")
