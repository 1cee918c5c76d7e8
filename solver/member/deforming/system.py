"""The whole member as one sparse system in the values of a at its nodes.

What is held rigidly at a node is taken out of its unknowns, so no penalty spoils the digits.
Contacts, which may open, enter as forces: what is factorised is the member with all of them pressed
by springs (an augmented Lagrangian), and which of them are shut is then a small dense question.
One factorisation serves all loads and all states of the contacts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
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
    """

    held: Mapping[int, Array]
    springs: Mapping[int, Array]
    contacts: Sequence[tuple[int, Array]] = ()


@dataclass(frozen=True, slots=True, eq=False)
class DeformingSystem:
    """A factorised member of k distinct nodes and n functions.

    `free` (kn, f) makes nodal values from the unknowns left; `matrix` (kn, kn) is the member
    without contacts; `rows` (m, kn) the contacts' directions; `press` (m,) the springs that press
    them.
    """

    elements: tuple[Element, ...]
    ends: NDArray[np.intp]
    count: int
    size: int
    matrix: Any
    free: Any
    rows: Any
    press: Array
    scale: Array
    pressed: Any
    lu: Any

    def solve(self, nodal: Array, loads: Array) -> Array:
        """Nodal values (k, n, c) of the pressed member.

        Parameters
        ----------
        nodal : (k, n, c)
        loads : (e, (p + 1) n, c)
            On the shape functions of every element.
        """
        right = self.gathered(nodal, loads)
        return np.asarray(self._answer(right).reshape(self.count, self.size, -1))

    def pushed(self) -> Array:
        """Nodal values (k, n, m) that a unit force of each contact produces."""
        right = self.rows.T.toarray()
        return np.asarray(self._answer(right).reshape(self.count, self.size, -1))

    def gathered(self, nodal: Array, loads: Array) -> Array:
        """Right side (kn, c) of nodal forces and the elements' loads brought to their ends."""
        n, c = self.size, nodal.shape[-1]
        right = np.array(nodal, float)
        for element, (a, b), load in zip(self.elements, self.ends, loads, strict=True):
            if load.any():
                both = element.carried(load)
                right[a] += both[:n]
                right[b] += both[n:]
        return right.reshape(-1, c)

    def whole(self, values: Array, loads: Array) -> Array:
        """Coefficients (e, p + 1, n, c) of every element from nodal values (k, n, c)."""
        n, c = self.size, values.shape[-1]
        found = [
            element.whole(values[ends].reshape(2 * n, c), load)
            for element, ends, load in zip(self.elements, self.ends, loads, strict=True)
        ]
        return np.asarray(found).reshape(len(found), -1, n, c)

    def missing(self, values: Array, nodal: Array, loads: Array) -> Array:
        """Forces (k, n, c) that something else exerts on the nodes: K a - f, zero where the member
        is free."""
        right = self.gathered(nodal, loads)
        flat = values.reshape(right.shape)
        return np.asarray((self.matrix @ flat - right).reshape(values.shape))

    def _answer(self, right: Array) -> Array:
        own = self.scale[:, None] * (self.free.T @ right)
        found = self.lu.solve(own)
        for _ in range(2):
            found += self.lu.solve(own - self.pressed @ found)
        if not np.isfinite(found).all():
            raise SolveError("the deforming member has no finite answer; check what holds it")
        return np.asarray(self.free @ (self.scale[:, None] * found))


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
    from scipy import sparse
    from scipy.sparse.linalg import splu

    e, n = len(elements), size
    count = e if closed else e + 1
    ends = np.column_stack([np.arange(e), (np.arange(e) + 1) % count])
    blocks = np.array([x.condensed for x in elements])
    index = (ends[:, :, None] * n + np.arange(n)).reshape(e, 2 * n)
    row = np.repeat(index, 2 * n, axis=1).ravel()
    col = np.tile(index, (1, 2 * n)).ravel()
    data = [blocks.ravel()]
    rows, cols = [row], [col]
    for node, spring in links.springs.items():
        own = node * n + np.arange(n)
        data.append(spring.ravel())
        rows.append(np.repeat(own, n))
        cols.append(np.tile(own, n))
    shape = (count * n, count * n)
    where = (np.concatenate(rows), np.concatenate(cols))
    matrix = sparse.csr_array((np.concatenate(data), where), shape=shape)
    free = _free(links.held, count, n)
    m = len(links.contacts)
    contact = np.zeros((m, n)) if not m else np.array([r for _, r in links.contacts])
    node = np.array([k for k, _ in links.contacts], np.intp)
    lines = sparse.csr_array(
        (
            contact.ravel(),
            (np.repeat(np.arange(m), n), (node[:, None] * n + np.arange(n)).ravel()),
        ),
        shape=(m, count * n),
    )
    press = _press(matrix, lines)
    pressed = matrix + lines.T @ sparse.diags_array(press) @ lines if m else matrix
    pressed = (free.T @ pressed @ free).tocsc()
    diagonal = pressed.diagonal()
    if not (diagonal > 0).all():
        raise SolveError("the deforming member is loose: a node has no stiffness of its own")
    scale = 1 / np.sqrt(diagonal)
    pressed = (sparse.diags_array(scale) @ pressed @ sparse.diags_array(scale)).tocsc()
    try:
        lu = splu(
            pressed,
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=0.0,
            options={"SymmetricMode": True},
        )
    except RuntimeError as reason:
        raise SolveError(f"the deforming member has no unique answer ({reason})") from reason
    return DeformingSystem(
        tuple(elements), ends, count, n, matrix, free, lines, press, scale, pressed, lu
    )


def held_space(rows: Array, size: int) -> Array:
    """Orthonormal columns (n, f) of the motions that rows (r, n) leave free."""
    if not len(rows):
        return np.eye(size)
    length = np.linalg.norm(rows, axis=1)
    rows = rows[length > 0] / length[length > 0, None]
    _, values, right = np.linalg.svd(rows)
    rank = int((values > RANK * values[0]).sum()) if len(values) else 0
    return np.asarray(right[rank:].T)


def _free(held: Mapping[int, Array], count: int, n: int) -> Any:
    from scipy import sparse

    blocks = [
        held_space(held[k], n) if k in held and len(held[k]) else np.eye(n) for k in range(count)
    ]
    return sparse.block_diag([sparse.csr_array(b) for b in blocks], format="csr")


def _press(matrix: Any, lines: Any) -> Array:
    """Springs about as stiff as the member itself where a contact stands."""
    m = lines.shape[0]
    if not m:
        return np.zeros(0)
    diagonal = matrix.diagonal()
    squared = lines.multiply(lines)
    size = squared.sum(axis=1)
    # A spring that adds about the member's own diagonal: row^2 k = sum(row^2 K) / sum(row^2).
    return np.asarray((squared @ diagonal) / np.maximum(size, 1e-300) ** 2)
