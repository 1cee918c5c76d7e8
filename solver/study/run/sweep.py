"""A study: every point of a plan solved once, each row kept as soon as it is there."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Any

from ....geometry.notebook_table import notebook_table
from ....geometry.plain_record import plain_record
from ...accuracy import STUDY_ACCURACY
from ..file.parameter import Parameter
from ..file.plan import Plan, Point
from ..file.section_base import Base, SectionBase
from ..file.shape_function import ShapeFunction
from .content import code_version, digest
from .store import Store
from .work import Batch, Job
from .workforce import outcomes

#: Keys of rows in work that are remembered before the finished ones among them are forgotten.
_REMEMBERED = 1000
#: Batches that a study of rows solved together has at least, and the most rows of one.
_BATCHES, _MOST_ROWS = 64, 128


@dataclass(frozen=True, slots=True)
class Study:
    """What is to be solved.

    Attributes
    ----------
    name : str
    base : Base
        The file that is changed.
    plan : Plan
    accuracy : float
        Relative width asked of J's interval.
    """

    name: str
    base: Base
    plan: Plan
    accuracy: float = STUDY_ACCURACY

    def __post_init__(self) -> None:
        self.base.check([a for p in self.plan.parameters for a in p.sets])

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: name, parameters and accuracy; the file's text where a file is changed."""
        return {"format": "soapfilm study 1", **plain_record(self)}

    def __repr__(self) -> str:
        return f"Study({self.name!r}, {len(self.plan)} rows over {', '.join(self.plan.names)})"

    def _repr_html_(self) -> str:
        rows = [(p.name, ", ".join(p.sets), _values_of(p)) for p in self.plan.parameters]
        return notebook_table(f"{self.name}, {len(self.plan)} rows", rows)

    def open_store(self, path: str) -> Store:
        """The file of its rows, with its plan written down."""
        store = Store(path, self.plan.names, self.base.columns)
        version = self.version()
        plan = self.plan
        made: list[str] = []
        if isinstance(self.base, ShapeFunction):  # another function means other rows
            made = [self.base.key(plan.assignments(point)) for point in plan.points()]
        store.plan(
            digest("plan", version, plan.names, plan.kind, len(plan), repr(plan), *made),
            ((self.key(point, version), point) for point in plan.points()),
        )
        return store

    def key(self, point: Point, version: str | None = None) -> str:
        """Key of a point's row: everything its numbers depend on."""
        assignments = self.plan.assignments(point)
        if isinstance(self.base, ShapeFunction):
            return digest(version or self.version(), assignments, self.base.key(assignments))
        return digest(version or self.version(), assignments)

    def job(self, point: Point, key: str, cached: bool) -> Job:
        """What a worker is given; a made shape goes in place of the function that made it."""
        base, assignments = self.base, self.plan.assignments(point)
        if isinstance(base, ShapeFunction):
            base, assignments = base.at(assignments), {}
        return Job(key, base, assignments, self.accuracy, cached, code_version())

    @property
    def batch_size(self) -> int:
        """Rows that one call solves: more in a longer study, where all workers stay busy with
        that."""
        gains = isinstance(self.base, SectionBase)
        return max(1, min(len(self.plan) // _BATCHES, _MOST_ROWS)) if gains else 1

    def version(self) -> str:
        """Key of what all rows have in common."""
        return digest(code_version(), self.base.digest, self.accuracy)


def _values_of(parameter: Parameter) -> str:
    """What a parameter may be, shortly."""
    if parameter.is_range:
        return f"{parameter.low:g} to {parameter.high:g} {parameter.unit}".rstrip()
    few = ", ".join(str(value) for value in parameter.values[:8])
    return few + (", ..." if len(parameter.values) > 8 else "")


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a run is: rows in all, found finished at the start, solved since, and with an
    error."""

    total: int
    found: int
    solved: int
    failed: int


def run_study(
    study: Study,
    store: Store,
    executor: Executor,
    *,
    workers: int = 1,
    cached: bool = True,
    renew: Callable[[], Executor] | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Progress:
    """Solve every point whose row is not in the store yet.

    Parameters
    ----------
    study : Study
    store : Store
        From `Study.open_store`.
    executor : Executor
        Any of `concurrent.futures`, or one that behaves like it (Dask's `Client.get_executor()`).
    workers : int
        How many jobs the executor works on at once.
    cached : bool
        Whether workers use the cache of solved sections on their machine.
    renew : callable, optional
        Makes another executor when one has broken down (see `workforce.outcomes`).
    progress : callable, optional
        Told of every row.

    Raises
    ------
    SolveError
        If the workers broke down, or have other code. Finished rows stay.
    """
    total, found, failed = store.counts()
    solved = 0
    state = Progress(total, found, solved, failed)
    if progress:
        progress(state)
    for group in outcomes(executor, _pending(study, store, cached), workers, renew):
        for outcome, new in zip(group, store.add_all(group), strict=True):
            solved += new
            failed += new and bool(outcome.error)
            state = Progress(total, found, solved, failed)
            if progress:
                progress(state)
    return state


def _pending(study: Study, store: Store, cached: bool) -> Iterator[Batch]:
    """Jobs of all points without a row, near ones together; two alike points make one.

    Which points come together follows from the plan alone: the same study gives the same numbers.
    """
    version, size = study.version(), study.batch_size
    out: set[str] = set()
    most = _REMEMBERED
    points = study.plan.points()
    while run := list(itertools.islice(points, size)):
        batch = []
        for point in run:
            key = study.key(point, version)
            if key in out or store.has(key):
                continue
            if len(out) >= most:
                out = {k for k in out if not store.has(k)}
                most = max(_REMEMBERED, 2 * len(out))  # many workers have many rows in work
            out.add(key)
            batch.append(study.job(point, key, cached))
        if batch:
            yield tuple(batch)
