"""The exchange structure of ISO 10303-21 (STEP): entity instances, found first and parsed only when
asked for.

Only what profiles need: simple instances of the DATA section. Comments and strings may hold any
character; nothing is evaluated.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from ..errors import FileFormatError
from .bounds import MAX_DEPTH, MAX_EDGES, MAX_RECORDS, check_count

_STOP = re.compile(r"'|/\*|;")
_INSTANCE = re.compile(r"\s*#(\d{1,18})\s*=\s*([A-Za-z][A-Za-z0-9_]*)\s*(\()")
_TOKEN = re.compile(
    r"(?P<number>[+-]?\d+\.?\d*(?:[eE][+-]?\d+)?(?![\w.]))|#(?P<ref>\d{1,18})|\.(?P<enum>[A-Za-z0-9_]+)\."
    r"|(?P<word>[A-Za-z][A-Za-z0-9_]*)|(?P<mark>[(),$*])"
)
#: Instances, strings and comments; a million take about a second.
_MOST_PARTS = 1_000_000
_SPACE = re.compile(r"\s*")


class Ref(NamedTuple):
    """A reference to an instance: #12."""

    number: int


class Enum(NamedTuple):
    """An enumeration value: .AREA."""

    word: str


class Typed(NamedTuple):
    """A value with its type: IFCPARAMETERVALUE(90.)"""

    word: str
    values: list[Value]


Value = float | int | str | Ref | Enum | Typed | list["Value"] | None


@dataclass(frozen=True, slots=True)
class Instance:
    """#number = WORD(values)."""

    number: int
    word: str
    values: list[Value]


class StepFile:
    """Instances of a STEP file by number."""

    def __init__(self, data: bytes) -> None:
        text = data.decode("latin-1")
        if not re.match(r"\s*ISO-10303-21\s*;", text):
            raise FileFormatError("this is not a STEP file: it does not begin with ISO-10303-21;")
        if not re.search(r"END-ISO-10303-21\s*;\s*\Z", text[-200:]):
            raise FileFormatError(
                "the STEP file ends before END-ISO-10303-21; it is truncated, save it again"
            )
        self.schema = ""
        self._reads = 0
        self._raw: dict[int, tuple[str, str]] = {}
        for statement in _statements(text):
            match = _INSTANCE.match(statement)
            if match is not None:
                # A complex instance, or anything else that is no simple one, is of no use here.
                self._raw[int(match.group(1))] = (
                    match.group(2).upper(),
                    statement[match.start(3) :],
                )
            elif statement.lstrip().upper().startswith("FILE_SCHEMA"):
                self.schema = statement.upper()

    def of_type(self, *words: str) -> list[int]:
        """Numbers of the instances of these types, in the file's order."""
        return [number for number, (word, _) in self._raw.items() if word in words]

    def word(self, number: int) -> str:
        """Type of an instance, "" where there is none."""
        return self._raw.get(number, ("", ""))[0]

    def types(self) -> list[tuple[int, str]]:
        """Number and type of every instance."""
        return [(number, word) for number, (word, _) in self._raw.items()]

    def __getitem__(self, number: int) -> Instance:
        if number not in self._raw:
            raise FileFormatError(
                f"the file refers to #{number}, which it does not hold; save it again"
            )
        # Lists of lists that come to nothing would be followed without end.
        self._reads += 1
        check_count(self._reads, MAX_RECORDS, "references to follow")
        word, text = self._raw[number]
        return Instance(number, word, parse_values(text, f"#{number}={word}"))

    def follow(self, value: Value, owner: Instance) -> Instance:
        """The instance that a value of `owner` refers to."""
        if not isinstance(value, Ref):
            raise FileFormatError(
                f"#{owner.number}={owner.word} lacks a reference to another instance"
            )
        return self[value.number]


def _statements(text: str) -> list[str]:
    """The text between semicolons, without comments; semicolons in strings count for nothing."""
    out: list[str] = []
    parts: list[str] = []
    begin = at = 0
    count = 0
    while (stop := _STOP.search(text, at)) is not None:
        count += 1
        check_count(count, _MOST_PARTS, "instances, strings and comments")
        if stop.group() == ";":
            parts.append(text[begin : stop.start()])
            out.append("".join(parts))
            parts = []
            begin = at = stop.end()
            continue
        end = text.find("'" if stop.group() == "'" else "*/", stop.end())
        if end < 0:
            raise FileFormatError(
                "a string or comment of the STEP file never ends; it is damaged, save it again"
            )
        if stop.group() == "'":
            at = end + 1
        else:
            parts.append(text[begin : stop.start()])
            begin = at = end + 2
    return out


def parse_values(text: str, shown: str) -> list[Value]:
    """The values in "(...)" of an instance.

    Raises
    ------
    FileFormatError
        With the instance's number and type.
    """
    stack: list[list[Value]] = [[]]
    words: list[str | None] = []
    word: str | None = None
    at, length, count = 0, len(text.rstrip()), 0
    while at < length:
        at = _SPACE.match(text, at).end()  # type: ignore[union-attr]
        if text[at] == "'":
            at, string = _string(text, at)
            stack[-1].append(string)
            continue
        token = _TOKEN.match(text, at)
        if token is None or (word is not None and token.group() != "("):
            raise FileFormatError(
                f"{shown} cannot be read at {text[at : at + 30]!r}; save the file again"
            )
        at, count = token.end(), count + 1
        check_count(count, 10 * MAX_EDGES, f"values in {shown}")
        kind, mark = token.lastgroup, token.group()
        if kind == "word":
            word = mark.upper()
        elif mark == "(":
            check_count(len(stack), MAX_DEPTH, "nested lists")
            words.append(word)
            word = None
            stack.append([])
        elif mark == ")":
            if len(stack) == 1:
                break
            values, name = stack.pop(), words.pop()
            stack[-1].append(values if name is None else Typed(name, values))
        elif mark != ",":
            stack[-1].append(_value(kind, token))
    first = stack[0][0] if stack[0] else None
    if len(stack) != 1 or not isinstance(first, list) or at < length or len(stack[0]) != 1:
        raise FileFormatError(f"the parentheses of {shown} do not match; save the file again")
    return first


def _value(kind: str | None, token: re.Match[str]) -> Value:
    if kind == "ref":
        return Ref(int(token.group("ref")))
    if kind == "enum":
        return Enum(token.group("enum").upper())
    if kind == "number":
        return float(token.group("number"))
    return None


def _string(text: str, at: int) -> tuple[int, str]:
    """Position after a string and its content; a doubled apostrophe stands for one."""
    parts = []
    while True:
        end = text.index("'", at + 1)
        parts.append(text[at + 1 : end])
        at = end
        if text[end + 1 : end + 2] != "'":
            return end + 1, "'".join(parts)
        at = end + 1
