"""A study: every point of a plan solved once, each row kept as soon as it is there."""

from __future__ import annotations

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
from .work import Batch, Job, Outcome
from .workforce import outcomes

#: Batches that a long study has at least, and the most rows of one.
_BATCHES, _MOST_ROWS = 64, 128
#: Batches that a shorter study of rows solved together has at least, and the most rows of one: four
#: rows together take half the time that they take alone, sixteen a fifth.
_FEW_BATCHES, _FEW_ROWS = 8, 16
#: Seconds that a batch of rows that are solved one after another should take: a cluster's scheduler
#: gives out some hundreds of batches a second, and what is lost with a worker is a batch.
_TASK = 1.0


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
    def solves_together(self) -> bool:
        """Whether near rows are solved at once, so that batches must be the same in every run for
        the same numbers."""
        return isinstance(self.base, SectionBase)

    @property
    def batch_size(self) -> int:
        """Most rows of a batch: more in a longer study, where all workers stay busy with that."""
        rows = min(len(self.plan) // _BATCHES, _MOST_ROWS)
        if self.solves_together:
            rows = max(rows, min(len(self.plan) // _FEW_BATCHES, _FEW_ROWS))
        return max(1, rows)

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
    workers: int | Callable[[], int] = 1,
    cached: bool = True,
    renew: Callable[[], Executor] | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Progress:
    """Solve every point whose row is not in the store yet.

    Another run may work on the same store: the second one then begins at the last point, and they
    meet.

    Parameters
    ----------
    study : Study
    store : Store
        From `Study.open_store`.
    executor : Executor
        Any of `concurrent.futures`, like `dask_cluster.ClusterExecutor`.
    workers : int or function
        How many jobs the executor works on at once; a function where that changes.
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
    pending = _Pending(study, store, cached)
    try:
        for group in outcomes(executor, iter(pending), workers, renew):
            pending.finished(group)
            for outcome, new in zip(group, store.add_all(group), strict=True):
                solved += new
                failed += new and bool(outcome.error)
                state = Progress(total, found, solved, failed)
                if progress:
                    progress(state)
    finally:
        store.rest()
    if found + solved < total:  # the rest is another run's
        total, done, failed = store.counts()
        state = Progress(total, done - solved, solved, failed)
    return state


class _Pending:
    """Jobs of all points without a row, near ones together; two alike points make one.

    Which points are solved together follows from the plan alone: the same study gives the same
    numbers. Rows that are solved one after another come in batches of about a second.
    """

    def __init__(self, study: Study, store: Store, cached: bool) -> None:
        self.study, self.store, self.cached = study, store, cached
        self.rows = study.batch_size if study.solves_together else 1
        self._out: set[str] = set()

    def __iter__(self) -> Iterator[Batch]:
        study, store = self.study, self.store
        for first, run in study.plan.runs(study.batch_size, store.others_at_work()):
            jobs = []
            for number, key in store.missing(first, first + len(run) - 1):
                if key not in self._out:
                    self._out.add(key)
                    jobs.append(study.job(run[number - first], key, self.cached))
            while jobs:
                batch, jobs = tuple(jobs[: self.rows]), jobs[self.rows :]
                yield batch  # by its end `rows` may be another number

    def finished(self, group: tuple[Outcome, ...]) -> None:
        """Note what a batch has taken."""
        self._out.difference_update(outcome.key for outcome in group)
        if not self.study.solves_together:
            each = sum(outcome.seconds for outcome in group) / len(group)
            wanted = _TASK / each if each > 0 else self.study.batch_size
            self.rows = max(1, min(int(wanted), 2 * self.rows, self.study.batch_size))
