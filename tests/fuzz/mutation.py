"""Valid files with something changed: bytes, numbers, words, lines, or cut off."""

from __future__ import annotations

import random
import re
from collections.abc import Sequence

_NUMBERS = (
    b"0", b"-1", b"1", b"2", b"1e308", b"-1e308", b"1e-320", b"nan", b"inf", b"9" * 25, b"0.1e",
    b"", b"x", b"1e12", b"3.0000000001", b"1e-9", b"4294967296", b"0x10", b"1_000",
)  # fmt: skip
_SCRAPS = (
    b"\x00", b"\xff", b"\xef\xbb\xbf", "é".encode(), b"\n\n", b"\r", b'"', b"'", b"(", b"]", b"<"
)  # fmt: skip


def mutated(data: bytes, rng: random.Random, others: Sequence[bytes] = ()) -> bytes:
    """The data with one or a few changes.

    Parameters
    ----------
    data : bytes
    rng : random.Random
    others : sequence of bytes
        Files of the same kind, pieces of which may be put in.
    """
    out = bytearray(data)
    for _ in range(rng.choice([1, 1, 1, 2, 3, 6])):
        if len(out) < 4:
            break
        rng.choice(_CHANGES)(out, rng, others)
    return bytes(out)


def _byte(out: bytearray, rng: random.Random, _: Sequence[bytes]) -> None:
    out[rng.randrange(len(out))] = rng.randrange(256)


def _dropped(out: bytearray, rng: random.Random, _: Sequence[bytes]) -> None:
    start = rng.randrange(len(out))
    del out[start : start + rng.choice([1, 2, 5, 20, 80])]


def _scrap(out: bytearray, rng: random.Random, _: Sequence[bytes]) -> None:
    at = rng.randrange(len(out))
    out[at:at] = rng.choice(_SCRAPS)


def _number(out: bytearray, rng: random.Random, _: Sequence[bytes]) -> None:
    match = _found(out, rb"-?\d+\.?\d*(?:[eE][-+]?\d+)?", rng)
    if match:
        how = rng.random()
        if how < 0.5:
            value = rng.choice(_NUMBERS)
        else:  # near the value, or of another size
            number = float(match.group())
            factor = rng.choice([-1.0, 0.5, 1.1, 2.0, 10.0, 1 + 1e-9, 1e-3])
            value = repr(number * factor).encode()
        out[match.start() : match.end()] = value


def _word(out: bytearray, rng: random.Random, _: Sequence[bytes]) -> None:
    one, other = (_found(out, rb"[A-Za-z_]+", rng) for _ in range(2))
    if one and other:
        out[one.start() : one.end()] = other.group()


def _line(out: bytearray, rng: random.Random, _: Sequence[bytes]) -> None:
    """A line repeated, dropped, or in the place of another."""
    one, other = (_found(out, rb"[^\n]*\n", rng) for _ in range(2))
    if one and other:
        put = rng.choice([b"", one.group() * 2, other.group()])
        out[one.start() : one.end()] = put


def _piece(out: bytearray, rng: random.Random, others: Sequence[bytes]) -> None:
    source = rng.choice([bytes(out), *others])
    start, at = rng.randrange(len(source)), rng.randrange(len(out))
    out[at:at] = source[start : start + rng.choice([3, 20, 100, 400])]


def _end(out: bytearray, rng: random.Random, _: Sequence[bytes]) -> None:
    if rng.random() < 0.3:
        del out[rng.randrange(len(out)) :]


def _found(out: bytearray, pattern: bytes, rng: random.Random) -> re.Match[bytes] | None:
    found = list(re.finditer(pattern, bytes(out)))
    return rng.choice(found) if found else None


_CHANGES = (_byte, _dropped, _scrap, _number, _number, _number, _word, _line, _piece, _end)
