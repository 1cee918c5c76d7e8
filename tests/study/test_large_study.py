"""What a study of a million rows rests on: rows written side by side, statements that do not grow
with the rows, runs that share one file, tasks of about a second, clusters whose workers come and
go."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.study.file.study_file import load_study
from soapfilm.solver.study.run import dask_cluster, workforce
from soapfilm.solver.study.run.content import digest
from soapfilm.solver.study.run.dask_cluster import ClusterSize
from soapfilm.solver.study.run.store import Store
from soapfilm.solver.study.run.store_trouble import StoreError
from soapfilm.solver.study.run.sweep import Study, run_study
from soapfilm.solver.study.run.work import Batch, Outcome

from .files import BEAM, TUBE

GRID = """
{base}
[[parameter]]
name = "b"
sets = "{first}"
from = 100
to = 200
steps = {steps}
[[parameter]]
name = "d"
sets = "{second}"
from = 60
to = 90
steps = {steps}
"""
SECTION = {"base": 'section = "tube.toml"', "first": "wall.XDim", "second": "wall.YDim"}
MEMBER = {
    "base": 'member = "beam.toml"',
    "first": "load.wall.eccentricity.1",
    "second": "load.wall.eccentricity.2",
}


class Workers(Executor):
    """Jobs wait while fewer than `most` are out; the first one ends as another comes, or as a run
    asks how many workers there are.

    Parameters
    ----------
    most : int
        Jobs held back.
    seconds : float
        What each row is said to have taken.
    """

    def __init__(self, most: int = 0, seconds: float = 0.1) -> None:
        self.most, self.seconds = most, seconds
        self.waiting: deque[tuple[Future[Any], Batch]] = deque()
        self.sizes: list[int] = []
        self.solved: Counter[str] = Counter()

    def submit(self, fn: object, /, *args: Any, **_: Any) -> Future[Any]:  # type: ignore[override]
        future: Future[Any] = Future()
        (batch,) = args
        self.sizes.append(len(batch))
        self.solved.update(job.key for job in batch)
        self.waiting.append((future, batch))
        while len(self.waiting) > self.most:
            self.finish()
        return future

    def __call__(self) -> int:
        """How many workers there are: as many as keep all but one job waiting."""
        if self.waiting:
            self.finish()
        return max(1, (self.most + 1) // 2)

    def finish(self) -> None:
        """The first job that waits becomes done."""
        future, batch = self.waiting.popleft()
        future.set_result(tuple(Outcome(j.key, {}, "stub", self.seconds) for j in batch))


@pytest.fixture
def study(tmp_path: Path) -> Callable[..., Study]:
    (tmp_path / "tube.toml").write_text(TUBE)
    (tmp_path / "beam.toml").write_text(BEAM)

    def make(steps: int, what: dict[str, str] = SECTION) -> Study:
        file = tmp_path / "study.toml"
        file.write_text(GRID.format(steps=steps, **what))
        return load_study(file)

    return make


def test_rows_are_written_side_by_side(tmp_path: Path) -> None:
    """Filed under keys, which are random, every row rewrote a page of its own: ten times its
    bytes at a million rows."""
    keys = [digest(k) for k in range(6000)]
    with Store(tmp_path / "rows.sqlite", ["t"], ["J", "A"]) as store:
        store.plan("plan", ((key, (k,)) for k, key in enumerate(keys)))
        store._base.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        store._base.execute("PRAGMA wal_autocheckpoint = 0")
        for first in range(0, 6000, 100):
            store.missing(first + 1, first + 100)
            store.add_all([Outcome(k, {"J": 1.5, "A": 2.5}) for k in keys[first : first + 100]])
        written = Path(f"{store.path}-wal").stat().st_size
    assert 100_000 < written < 2 * store.path.stat().st_size


def test_points_alike_share_a_result_that_outlives_the_plan(tmp_path: Path) -> None:
    with Store(tmp_path / "rows.sqlite", ["t"], ["J"]) as store:
        store.plan("first", [("a", (1,)), ("b", (2,)), ("a", (1,))])
        assert store.missing(1, 3) == [(1, "a"), (2, "b"), (3, "a")]
        store.add("a", {"J": 1.0}, "", 0.1)
        assert store.missing(1, 3) == [(2, "b")]
        assert list(store.rows(["number", "J"])) == [(1, 1.0), (3, 1.0)]
        store.plan("second", [("c", (3,)), ("a", (1,)), ("b", (2,)), ("c", (3,))])
        assert store.missing(1, 4) == [(1, "c"), (3, "b"), (4, "c")]
        store.add("c", {"J": 3.0}, "", 0.1)
        assert list(store.rows(["number", "J"])) == [(1, 3.0), (2, 1.0), (4, 3.0)]


def test_a_row_never_goes_to_another_studys_point(tmp_path: Path) -> None:
    """Two studies on one file: what was first asked for has no place there any more."""
    path = tmp_path / "rows.sqlite"
    with Store(path, ["t"], ["J"]) as first, Store(path, ["t"], ["J"]) as second:
        first.plan("first", [("a", (1,)), ("b", (2,))])
        first.missing(1, 2)
        second.plan("second", [("c", (3,)), ("d", (4,))])
        with pytest.raises(StoreError, match="give each study an --output of its own"):
            first.add("a", {"J": 1.0}, "", 0.1)
        assert second.counts() == (2, 0, 0)


def test_a_run_at_work_keeps_its_points(tmp_path: Path) -> None:
    """A second run with another version took the first one's points away, and it stopped."""
    path = tmp_path / "rows.sqlite"
    with Store(path, ["t"], ["J"]) as second:
        with Store(path, ["t"], ["J"]) as first:
            first.plan("first", [("a", (1,)), ("b", (2,))])
            first.add("a", {"J": 1.0}, "", 0.1)
            assert second.others_at_work()
            assert not first.others_at_work()
            second.plan("first", [])  # the same one: they share the work
            with pytest.raises(InputError, match="another run is at work on this file"):
                second.plan("second", [("c", (3,))])
            first.add("b", {"J": 1.0}, "", 0.1)
        second.plan("second", [("c", (3,))])
        assert second.counts() == (1, 0, 0)


def test_rows_that_do_not_end_are_told_of(
    study: Callable[..., Study],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(workforce, "_LOOK", 0.01)
    monkeypatch.setattr(workforce, "_SILENCE", 0.03)
    own, waiting = study(2, MEMBER), Workers(most=9)
    asked = 0

    def threads() -> int:
        nonlocal asked
        asked += 1
        return waiting() if asked > 6 else 4

    with own.open_store(str(tmp_path / "rows.sqlite")) as store:
        assert run_study(own, store, waiting, workers=threads).solved == 4
    told = capsys.readouterr().err
    assert told.count("nothing was finished for") == 1
    assert "in work are 4 tasks, the first at load.wall.eccentricity.1 = 100.0, " in told


def test_a_file_of_an_earlier_version_is_named_as_such(tmp_path: Path) -> None:
    path = tmp_path / "rows.sqlite"
    with Store(path, ["t"], ["J"]) as store:
        store._base.execute("UPDATE meta SET value = 'soapfilm study 1' WHERE key = 'format'")
    with pytest.raises(InputError, match="rows of an earlier version of soapfilm"):
        Store(path, ["t"], ["J"])


def test_statements_do_not_grow_with_the_jobs_that_are_out(
    study: Callable[..., Study], tmp_path: Path
) -> None:
    """With more than a thousand jobs out, each new one looked all others up."""
    asked: list[str] = []
    own = study(70, MEMBER)
    with own.open_store(str(tmp_path / "rows.sqlite")) as store:
        store._base.set_trace_callback(asked.append)
        workers = Workers(most=2999, seconds=10.0)
        state = run_study(own, store, workers, workers=workers)
    assert state.solved == 4900
    assert max(workers.sizes) == 1  # rows of ten seconds
    assert len(asked) < 8 * 4900


def test_rows_solved_alone_make_tasks_of_a_second(
    study: Callable[..., Study], tmp_path: Path
) -> None:
    own = study(64, MEMBER)
    with own.open_store(str(tmp_path / "rows.sqlite")) as store:
        workers = Workers(seconds=0.05)
        state = run_study(own, store, workers)
    assert workers.sizes[:6] == [1, 1, 2, 4, 8, 16]
    assert max(workers.sizes) == 20
    assert state.solved == sum(workers.sizes) == len(workers.solved) == 4096


def test_two_runs_on_one_file_meet(study: Callable[..., Study], tmp_path: Path) -> None:
    """The second one followed the first from row to row and solved nearly all of them again."""
    own, path = study(40), str(tmp_path / "rows.sqlite")
    workers = [Workers(most=3), Workers(most=3)]
    with own.open_store(path) as first, own.open_store(path) as second:
        done: list[int] = []

        def other(_: object) -> None:
            """When the first has kept some rows the second one runs, to the end."""
            if first.counts()[1] > 300 and not done:
                done.append(run_study(own, second, workers[1], workers=workers[1]).solved)

        state = run_study(own, first, workers[0], workers=workers[0], progress=other)
    assert done[0] > 1000
    assert state.solved + done[0] == state.total == 1600
    assert (state.found, state.failed) == (done[0], 1600)
    twice = workers[0].solved + workers[1].solved
    assert sum(n > 1 for n in twice.values()) <= 4 * own.batch_size


def test_runs_of_points_are_the_same_from_either_end(study: Callable[..., Study]) -> None:
    plan = study(7).plan
    forward = list(plan.runs(10))
    assert [first for first, _ in forward] == [1, 11, 21, 31, 41]
    assert [len(run) for _, run in forward] == [10, 10, 10, 10, 9]
    assert [point for _, run in forward for point in run] == list(plan.points())
    assert list(plan.runs(10, backward=True)) == forward[::-1]


def test_a_cluster_that_grows_gets_more_jobs_and_one_without_workers_is_told_of(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(dask_cluster, "_EVERY", 0.0)
    there = [{"a": 8}, {"a": 8, "b": 32}, {}, {}, {"b": 32}]
    seen = iter(there)
    size = ClusterSize(lambda: next(seen), "tcp://10.0.0.1:8786")
    assert [size(), size()] == [8, 40]
    assert capsys.readouterr().err == ""
    size()
    size()
    told = capsys.readouterr().err
    assert told.count("no worker left; waiting for one (dask worker tcp://10.0.0.1:8786") == 1
    assert size() == 32
    assert "has a worker again" in capsys.readouterr().err


def test_a_cluster_that_cannot_be_asked_keeps_its_size() -> None:
    def lost() -> dict[str, int]:
        raise OSError("gone")

    assert ClusterSize(lost, "tcp://10.0.0.1:8786")() == 4


def test_what_dask_says_of_a_lost_scheduler_is_left_out() -> None:
    """A page of traceback stood before the line that says what to do."""
    import logging

    logger = logging.getLogger("distributed.client")
    before = logger.level
    logger.setLevel(logging.WARNING)  # as Dask's own configuration does
    try:
        dask_cluster._hush()
        assert not logger.isEnabledFor(logging.ERROR)
    finally:
        logger.setLevel(before)
