"""Expressions of a file: arithmetic with units, read by a grammar; nothing is executed.

sum     = product (("+" | "-") product)*
product = signed (("*" | "/") signed)*
signed  = ("+" | "-") signed | power
power   = atom ("^" signed)?
atom    = number unit* | name | function "(" sum ("," sum)* ")" | "(" sum ")"
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Container
from fractions import Fraction

from ..errors import InputError
from ..quantity import unit_word
from .amount import Amount, added, literal, multiplied, raised

_LONGEST, _DEEPEST = 400, 60
_TOKEN = re.compile(r"\s*(?:(\d+\.?\d*(?:[eE][+-]?\d+)?|\.\d+(?:[eE][+-]?\d+)?)|([^\W\d]\w*)|(.))")


class Expression:
    """One expression, read from left to right.

    Parameters
    ----------
    text : str
        Without its "=".
    names : container of str
        Words that are names, where they might be units too.
    lookup : function
        The amount of a word that is no function.
    """

    def __init__(self, text: str, names: Container[str], lookup: Callable[[str], Amount]) -> None:
        if len(text) > _LONGEST:
            raise InputError(f"an expression of more than {_LONGEST} characters; give parts a name")
        self._tokens = [m.groups() for m in _TOKEN.finditer(text.strip())]
        self._text, self._at, self._depth = text.strip(), 0, 0
        self._names, self._lookup = names, lookup

    def result(self) -> Amount:
        """The whole expression."""
        if not self._tokens:
            raise InputError('nothing follows "="; write an expression like "= wall/2"')
        found = self._sum()
        if self._at < len(self._tokens):
            raise InputError(
                f"{self._text[:80]!r}: {self._word()!r} is not expected there; write * between "
                "factors, and a point in decimals"
            )
        return found

    def _word(self) -> str:
        return next(t for t in self._tokens[self._at] if t is not None)

    def _take(self, signs: str) -> str:
        if self._at < len(self._tokens) and (self._tokens[self._at][2] or "") in tuple(signs):
            self._at += 1
            return str(self._tokens[self._at - 1][2])
        return ""

    def _sum(self) -> Amount:
        self._depth += 1
        if self._depth > _DEEPEST:
            raise InputError(f"more than {_DEEPEST} brackets in one another")
        left = self._product()
        while sign := self._take("+-"):
            left = added(left, self._product(), sign)
        self._depth -= 1
        return left

    def _product(self) -> Amount:
        left = self._signed()
        while sign := self._take("*/"):
            left = multiplied(left, self._signed(), sign)
        return left

    def _signed(self) -> Amount:
        signs = 1
        while sign := self._take("+-"):
            signs *= -1 if sign == "-" else 1
        found = self._power()
        return Amount(signs * found.value, found.dimension)

    def _power(self) -> Amount:
        base = self._atom()
        return raised(base, self._signed()) if self._take("^") else base

    def _atom(self) -> Amount:
        if self._at >= len(self._tokens):
            raise InputError(f"{self._text[:80]!r} ends where a number or a name should follow")
        number, word, _ = self._tokens[self._at]
        if number is not None:
            self._at += 1
            return self._with_unit(Amount(literal(number)))
        if word is not None:
            self._at += 1
            if word in FUNCTIONS and self._take("("):
                return self._called(word)
            return self._lookup(word)
        if self._take("("):
            found = self._sum()
            self._closed()
            return found
        raise InputError(f"{self._text[:80]!r}: {self._word()!r} is not expected there")

    def _with_unit(self, amount: Amount) -> Amount:
        """Units that follow a number belong to it: 12 mm, 3 mm^2."""
        while self._at < len(self._tokens):
            word = self._tokens[self._at][1]
            unit = None if word is None or word in self._names else unit_word(word)
            if unit is None:
                break
            self._at += 1
            size = Amount(*unit)
            amount = multiplied(
                amount, raised(size, self._signed()) if self._take("^") else size, "*"
            )
        return amount

    def _called(self, word: str) -> Amount:
        given = [self._sum()]
        while self._take(","):
            given.append(self._sum())
        self._closed()
        return FUNCTIONS[word](word, given)

    def _closed(self) -> None:
        if not self._take(")"):
            raise InputError(f"{self._text[:80]!r}: a bracket is not closed")


def _one(word: str, given: list[Amount]) -> Amount:
    if len(given) != 1:
        raise InputError(f"{word} takes one value, got {len(given)}")
    return given[0]


def _root(word: str, given: list[Amount]) -> Amount:
    return raised(_one(word, given), Amount(Fraction(1, 2)))


def _size(word: str, given: list[Amount]) -> Amount:
    one = _one(word, given)
    return Amount(abs(one.value), one.dimension)


def _angle(word: str, given: list[Amount]) -> Amount:
    one = _one(word, given)
    if not one.plain:
        raise InputError(f"{word} takes an angle, not {one.words}")
    return Amount(Fraction(getattr(math, word)(float(one.value))))


def _extreme(word: str, given: list[Amount]) -> Amount:
    for other in given[1:]:
        added(given[0], other, "+")
    return (min if word == "min" else max)(given, key=lambda a: a.value)


#: What may stand before a bracket.
FUNCTIONS: dict[str, Callable[[str, list[Amount]], Amount]] = {
    "min": _extreme,
    "max": _extreme,
    "abs": _size,
    "sqrt": _root,
    "sin": _angle,
    "cos": _angle,
    "tan": _angle,
}
