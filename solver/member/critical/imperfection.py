"""An initial imperfection in the shape of the buckling mode.

EN 1993-1-1 table 5.1 (from memory) gives the bow e_0 of a member for elastic analysis by its
buckling curve: L/350 (a0), L/300 (a), L/250 (b), L/200 (c), L/150 (d).
"""

from __future__ import annotations

from dataclasses import dataclass

from ....geometry.errors import InputError

#: Of the longest span: what is more is another shape.
MOST = 0.1
#: L / e_0 by buckling curve, elastic analysis; from memory.
BOW = {"a0": 350.0, "a": 300.0, "b": 250.0, "c": 200.0, "d": 150.0}


@dataclass(frozen=True, slots=True)
class Imperfection:
    """Largest displacement of the unloaded member from its drawn shape.

    Attributes
    ----------
    share : float
        By the longest span; zero where `length` is given.
    length : float
    words : str
        As the file says it.
    """

    share: float = 0.0
    length: float = 0.0
    words: str = ""

    def amplitude(self, span: float) -> float:
        """For the longest span.

        Raises
        ------
        InputError
            More than a tenth of it.
        """
        found = self.length if self.length else self.share * span
        if found > MOST * span:
            raise InputError(
                f"imperfection is {self.words!r} in a longest span of {span:g}; more than L/10 is "
                "another shape"
            )
        return found
