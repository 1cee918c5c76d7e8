"""The whole member as one system in the values of a at its nodes.

What is held rigidly at a node is taken out of its unknowns, so no penalty spoils the digits.
Contacts, which may open, enter as forces: what is factorised is the member with all of them pressed
by springs (an augmented Lagrangian), and which of them are shut is then a small dense question.
One factorisation serves all loads and all states of the contacts.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from .assembly import Assembled, side_by_side
from .block_chain import Chain, ChainBlocks, Groups
from .element import Element

Array = NDArray[np.float64]

#: Rows of one node whose singular values lie below this share of the largest say nothing new.
RANK = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Links:
    """What acts on the nodes besides the elements.

    Attributes
    ----------
    held : mapping of node to (r, n)
        Rows whose product with a is zero.
    springs : mapping of node to (n, n)
        Energy 1/2 a^T S a.
    contacts : sequence of (node, row (n,))
        Directions in which single forces act.
    ties : mapping of element to (r, 2n)
        Rows whose product with a of both its ends is zero, see `passing`.
    """

    held: Mapping[int, Array]
    springs: Mapping[int, Array]
    contacts: Sequence[tuple[int, Array]] = ()
    ties: Mapping[int, Array] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, eq=False)
class _Blocks(Sequence[Array]):
    """Blocks made when they are asked for."""

    number: int
    make: Callable[[int], Array]

    def __len__(self) -> int:
        return self.number

    def __getitem__(self, k: Any) -> Any:
        return self.make(k)


@dataclass(frozen=True, slots=True, eq=False)
class DeformingSystem:
    """A factorised member of k distinct nodes and n functions.

    `matrix` is the member without contacts; contacts press it with springs `press` (m,) in the
    directions `rows` (m, k n), and `chain` is the factor of both.
    """

    matrix: Assembled
    rows: Array
    press: Array
    chain: Chain

    @property
    def elements(self) -> tuple[Element, ...]:
        """In order along the member."""
        return self.matrix.elements

    @property
    def ends(self) -> NDArray[np.intp]:
        """(e, 2) nodes of the elements."""
        return self.matrix.ends

    @property
    def count(self) -> int:
        """Distinct nodes."""
        return self.matrix.count

    @property
    def size(self) -> int:
        """Functions."""
        return self.matrix.size

    def solve(
        self, nodal: Array, loads: Array, given: Array | None = None, *, pushed: bool = False
    ) -> Array:
        """Nodal values (k, n, c) of the pressed member; with `pushed`, those that a unit force of
        each contact produces stand behind them (k, n, c + m).

        Parameters
        ----------
        nodal : (k, n, c)
        loads : (e, (p + 1) n, c)
            On the shape functions of every element.
        given : (k, n, c), optional
            A motion whose part in the rigid holds is kept.
        """
        right = self.gathered(nodal, loads)
        if pushed and len(self.rows):
            own = self.rows.T.reshape(self.count, self.size, len(self.rows))
            right = np.concatenate([right, own], axis=2)
            if given is not None:
                given = np.concatenate([given, np.zeros_like(own)], axis=2)
        return self._answer(right, given)

    def gathered(self, nodal: Array, loads: Array) -> Array:
        """Right side (k, n, c) of nodal forces and the elements' loads brought to their ends."""
        right = np.array(nodal, float)
        loaded = np.abs(loads).max(axis=(1, 2), initial=0.0) > 0
        for element, places in self.matrix.alike:
            own = places[loaded[places]]
            if len(own):
                load = loads[own].transpose(1, 0, 2).reshape(loads.shape[1], -1)
                self.matrix.add(right, own, element.carried(load))
        return right

    def whole(self, values: Array, loads: Array) -> Array:
        """Coefficients (e, p + 1, n, c) of every element from nodal values (k, n, c)."""
        n, c = self.size, values.shape[-1]
        found = np.empty((len(self.elements), loads.shape[1], c))
        for element, own in self.matrix.alike:
            load = loads[own].transpose(1, 0, 2).reshape(loads.shape[1], -1)
            both = element.whole(side_by_side(values, self.ends[own]), load)
            found[own] = both.reshape(-1, len(own), c).transpose(1, 0, 2)
        return found.reshape(len(found), -1, n, c)

    def missing(self, values: Array, nodal: Array, loads: Array) -> Array:
        """Forces (k, n, c) that something else exerts on the nodes: K a - f, zero where the member
        is free."""
        return self.matrix.applied(values) - self.gathered(nodal, loads)

    def _answer(self, right: Array, given: Array | None = None) -> Array:
        if given is None:
            found = self.chain.solve(right)
        else:  # what is added to a motion leaves the rigid holds as they are
            found = given + self.chain.solve(right - self._pressed(given))
        for _ in range(2):
            found += self.chain.solve(right - self._pressed(found))
        if not np.isfinite(found).all():
            raise SolveError("the deforming member has no finite answer; check what holds it")
        return found

    def _pressed(self, values: Array) -> Array:
        """The pressed member's forces (k, n, c) at values (k, n, c)."""
        flat = values.reshape(self.count * self.size, -1)
        press = self.rows.T @ (self.press[:, None] * (self.rows @ flat))
        return self.matrix.applied(values) + press.reshape(values.shape)


def system_of(
    elements: Sequence[Element], size: int, links: Links, *, closed: bool
) -> DeformingSystem:
    """Assemble and factorise.

    Parameters
    ----------
    elements : sequence of Element
        In order along the member.
    size : int
        Number n of functions.
    links : Links
    closed : bool
        Whether the last node is the first.
    """
    e, n = len(elements), size
    count = e if closed else e + 1
    ends = np.column_stack([np.arange(e), (np.arange(e) + 1) % count])
    matrix = Assembled(tuple(elements), ends, count, n, links.springs)
    m = len(links.contacts)
    rows, press = np.zeros((m, count, n)), np.zeros(m)
    pressing = dict(links.springs)
    for k, (node, row) in enumerate(links.contacts):
        rows[k, node] = row
        press[k] = _press(np.diag(matrix.diagonal(node)), row)
        pressing[node] = pressing.get(node, 0.0) + press[k] * np.outer(row, row)
    groups = groups_of(count, ends, links.ties)
    spaces = [space_of(group, n, links.held, ends, links.ties) for group in groups]
    pressed = replace(matrix, springs=pressing)
    blocks = ChainBlocks(_Blocks(count, pressed.diagonal), _Blocks(e, pressed.beside), ends)
    return DeformingSystem(
        matrix, rows.reshape(m, count * n), press, blocks.reduced(spaces, groups)
    )


def groups_of(count: int, ends: NDArray[np.intp], ties: Mapping[int, Array]) -> Groups:
    """Nodes in order, those that ties join together."""
    found: list[list[int]] = []
    tied = {int(ends[e, 1]) for e in ties}
    for node in range(count):
        if node in tied and found:
            found[-1].append(node)
        else:
            found.append([node])
    return tuple(tuple(group) for group in found)


def space_of(
    group: tuple[int, ...],
    size: int,
    held: Mapping[int, Array],
    ends: NDArray[np.intp],
    ties: Mapping[int, Array],
) -> Array | None:
    """Orthonormal columns (g n, f) of the motions of a group's g nodes that nothing rigid stops;
    None where one node may move in every way."""
    blocks = []
    for j, node in enumerate(group):
        if node in held and len(held[node]):
            own = np.zeros((len(held[node]), len(group) * size))
            own[:, j * size : (j + 1) * size] = held[node]
            blocks.append(own)
    for e, rows in ties.items():
        if int(ends[e, 0]) in group:
            j = group.index(int(ends[e, 0]))
            own = np.zeros((len(rows), len(group) * size))
            own[:, j * size : (j + 2) * size] = rows
            blocks.append(own)
    if blocks:
        return held_space(np.vstack(blocks), len(group) * size)
    return None if len(group) == 1 else np.eye(size * len(group))


def held_space(rows: Array, size: int) -> Array:
    """Orthonormal columns (n, f) of the motions that rows (r, n) leave free."""
    if not len(rows):
        return np.eye(size)
    length = np.linalg.norm(rows, axis=1)
    rows = rows[length > 0] / length[length > 0, None]
    _, values, right = np.linalg.svd(rows)
    rank = int((values > RANK * values[0]).sum()) if len(values) else 0
    return np.asarray(right[rank:].T)


def _press(diagonal: Array, row: Array) -> float:
    """A spring about as stiff as the member itself where a contact stands: with row^2 k it adds
    about the member's own diagonal, k = sum(row^2 K) / sum(row^2)^2."""
    squared = row**2
    return float(squared @ diagonal / max(squared.sum(), 1e-300) ** 2)
