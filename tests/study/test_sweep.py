"""Studies run: rows equal direct solutions, errors stay rows, any executor serves, and nothing is
lost or done twice when something dies."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import (
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ThreadPoolExecutor,
)
from pathlib import Path
from typing import Any

import pytest
from soapfilm.geometry.errors import InputError, SolveError
from soapfilm.geometry.profiles.by_name import build_profile
from soapfilm.solver.section import solve_section
from soapfilm.solver.study.file.section_base import SectionBase
from soapfilm.solver.study.file.study_file import load_study
from soapfilm.solver.study.run import dask_cluster, workforce
from soapfilm.solver.study.run.store import Store
from soapfilm.solver.study.run.sweep import Progress, Study, run_study
from soapfilm.solver.study.run.work import Batch, Job, OtherVersion, Outcome, work
from soapfilm.solver.study.run.workforce import process_pool

from tests.interrupts import heeded

from .files import GRID


@pytest.fixture
def study(tube: Path) -> Study:
    file = tube.with_name("walls.toml")
    file.write_text(GRID)
    return load_study(file)


@pytest.fixture
def store(study: Study, tmp_path: Path) -> Iterator[Store]:
    with study.open_store(str(tmp_path / "rows.sqlite")) as store:
        yield store


def test_rows_are_what_the_solver_says(study: Study, store: Store) -> None:
    seen: list[Progress] = []
    with ThreadPoolExecutor(1) as executor:
        state = run_study(study, store, executor, progress=seen.append)
    assert (state.total, state.found, state.solved, state.failed) == (6, 0, 6, 2)
    assert [p.solved for p in seen] == list(range(7))
    rows = list(store.rows(["t", "b", "torsion_constant", "error"]))
    assert [(r[0], r[1]) for r in rows] == [(t, b) for t in (4, 6, 80) for b in (80.0, 120.0)]
    for wall, width, j, error in rows[:4]:
        values = {"XDim": width, "YDim": 60, "WallThickness": wall}
        direct = solve_section(build_profile("RectangleHollow", values).section(unit="mm"), 1e-4)
        assert direct.torsion_constant == pytest.approx(j, rel=1e-4)
        assert error == ""
    for row in rows[4:]:  # a wall of 80 does not fit
        assert row[2] is None
        assert "WallThickness 80 mm must be less than half of YDim" in row[3]


def test_a_second_run_finds_everything(study: Study, store: Store) -> None:
    with ThreadPoolExecutor(1) as executor:
        run_study(study, store, executor)
        again = run_study(study, store, executor)
    assert (again.found, again.solved, again.failed) == (6, 0, 2)


def test_a_longer_study_solves_only_what_is_new(study: Study, store: Store, tmp_path: Path) -> None:
    with ThreadPoolExecutor(1) as executor:
        run_study(study, store, executor)
        store.close()
        file = tmp_path / "walls.toml"
        file.write_text(GRID.replace("[4, 6, 80]", "[4, 5, 6, 80]"))
        longer = load_study(file)
        with longer.open_store(str(tmp_path / "rows.sqlite")) as more:
            state = run_study(longer, more, executor)
            assert (state.total, state.found, state.solved) == (8, 6, 2)
            assert [r[0] for r in more.rows(["t"])] == [4, 4, 5, 5, 6, 6, 80, 80]


def test_a_changed_base_is_another_study(study: Study, store: Store, tmp_path: Path) -> None:
    with ThreadPoolExecutor(1) as executor:
        run_study(study, store, executor)
        tube = tmp_path / "tube.toml"
        tube.write_text(tube.read_text().replace("YDim = 60", "YDim = 61"))
        changed = load_study(tmp_path / "walls.toml")
        assert changed.key((4, 80.0)) != study.key((4, 80.0))
        with changed.open_store(str(tmp_path / "rows.sqlite")) as rows:
            assert rows.counts() == (6, 0, 0)


def test_a_comment_changes_no_row(study: Study, tmp_path: Path) -> None:
    tube = tmp_path / "tube.toml"
    tube.write_text("# a note\n" + tube.read_text() + "# another\n")
    assert load_study(tmp_path / "walls.toml").key((4, 80.0)) == study.key((4, 80.0))


def test_a_process_pool_gives_the_same_rows(study: Study, store: Store, tmp_path: Path) -> None:
    with process_pool(2) as executor:
        run_study(study, store, executor, workers=2)
    with study.open_store(str(tmp_path / "other.sqlite")) as other:
        with ThreadPoolExecutor(1) as executor:
            run_study(study, other, executor, cached=False)
        columns = [c for c in store.columns if c != "seconds"]
        assert list(store.rows(columns)) == list(other.rows(columns))


def test_defects_and_memory_are_rows_too(study: Study, monkeypatch: pytest.MonkeyPatch) -> None:
    job = _job(study)

    def broken(*_: object) -> None:
        raise ZeroDivisionError("by\nzero")

    monkeypatch.setattr(SectionBase, "solved", broken)
    assert work((job,))[0].error == "unexpected ZeroDivisionError: by zero"

    def greedy(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(SectionBase, "solved", greedy)
    assert work((job,))[0].error == "not enough memory"


def test_a_worker_with_other_code_ends_the_study(
    study: Study, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("soapfilm.solver.study.run.sweep.code_version", lambda: "older")
    with ThreadPoolExecutor(1) as executor, pytest.raises(OtherVersion, match="same everywhere"):
        run_study(study, store, executor)
    assert store.counts()[1] == 0


class _Fragile(Executor):
    """Runs jobs at once, but dies of some, as a pool does whose process is killed."""

    def __init__(self, deadly: Callable[[Job], bool]) -> None:
        self.deadly, self.broken = deadly, False

    def submit(self, function: object, jobs: Batch) -> Future[tuple[Outcome, ...]]:  # type: ignore[override]
        if self.broken:
            raise BrokenExecutor("gone")
        future: Future[tuple[Outcome, ...]] = Future()
        if any(self.deadly(job) for job in jobs):
            self.broken = True
            future.set_exception(BrokenExecutor("lost"))
        else:
            future.set_result(work(jobs))
        return future


def test_a_row_that_kills_its_process_gets_that_as_its_error(study: Study, store: Store) -> None:
    def deadly(job: Job) -> bool:
        return (
            job.assignments["shape.1.XDim"] == 120.0 and job.assignments["wall.WallThickness"] == 6
        )

    made: list[_Fragile] = []

    def renew() -> _Fragile:
        made.append(_Fragile(deadly))
        return made[-1]

    state = run_study(study, store, renew(), workers=2, renew=renew)
    assert (state.solved, state.failed) == (6, 3)
    errors = dict(store.errors(9))
    assert errors[4] == workforce.LOST
    assert len(made) >= 2


class KilledWorker(Exception):
    """Named as Dask's verdict on a job whose workers died, or which waited at one that did."""


class _Unlucky(Executor):
    """Gives up every row once, as a cluster does with those that wait at a worker that dies."""

    def __init__(self, deadly: Callable[[Job], bool]) -> None:
        self.deadly, self.tried = deadly, set[str]()

    def submit(self, function: object, jobs: Batch) -> Future[tuple[Outcome, ...]]:  # type: ignore[override]
        future: Future[tuple[Outcome, ...]] = Future()
        if jobs[0].key in self.tried and not self.deadly(jobs[0]):
            future.set_result(work(jobs))
        else:
            self.tried.add(jobs[0].key)
            future.set_exception(KilledWorker("4 workers died"))
        return future


def test_rows_that_wait_beside_one_that_kills_are_tried_again(study: Study, store: Store) -> None:
    def deadly(job: Job) -> bool:
        return (
            job.assignments["shape.1.XDim"] == 120.0 and job.assignments["wall.WallThickness"] == 6
        )

    state = run_study(study, store, _Unlucky(deadly), workers=4)
    assert (state.solved, state.failed) == (6, 3)
    assert [n for n, error in store.errors(9) if error == workforce.LOST] == [4]


def test_a_broken_executor_without_another_says_to_go_on(study: Study, store: Store) -> None:
    with pytest.raises(SolveError, match="run the same command again"):
        run_study(study, store, _Fragile(lambda job: True))


def test_workers_that_only_die_end_the_study(study: Study, store: Store) -> None:
    def renew() -> _Fragile:
        return _Fragile(lambda job: True)

    with pytest.raises(SolveError, match="die as soon as they start"):
        run_study(study, store, renew(), renew=renew)


def test_no_more_jobs_are_out_than_keep_the_workers_busy(study: Study) -> None:
    taken = 0

    def jobs() -> Iterator[Batch]:
        nonlocal taken
        for _ in range(50):
            taken += 1
            yield (_job(study),)

    with ThreadPoolExecutor(1) as executor:
        outcomes = workforce.outcomes(executor, jobs(), 1)
        next(outcomes)
        assert taken <= 3
        outcomes.close()


def _job(study: Study) -> Job:
    from soapfilm.solver.study.run.content import code_version

    point = next(study.plan.points())
    assignments = study.plan.assignments(point)
    return Job(study.key(point), study.base, assignments, 1e-3, False, code_version())


LONG = """
section = "tube.toml"
[[parameter]]
name = "t"
sets = "wall.WallThickness"
from = 3
to = 20
steps = 60
"""


def test_killed_at_any_moment_it_goes_on_where_it_was(tube: Path, tmp_path: Path) -> None:
    """kill -9 of the command: its workers go too, finished rows stay, none is done twice."""
    (tmp_path / "long.toml").write_text(LONG)
    rows = tmp_path / "long.sqlite"
    command = [sys.executable, "-m", "soapfilm.cli", "sweep", "long.toml", "--workers", "2"]
    options = {"cwd": tmp_path, "env": os.environ | {"SOAPFILM_CACHE": "off"}}
    first = subprocess.Popen([*command], start_new_session=True, **options)  # type: ignore[call-overload]
    _until(lambda: _finished(rows) >= 6)
    workers = _children(first.pid)
    assert workers
    os.kill(first.pid, signal.SIGKILL)
    first.wait()
    before = _finished(rows)
    times = _read(rows, "SELECT key, seconds FROM result")
    assert 6 <= before < 60
    _until(lambda: not any(_alive(pid) for pid in workers))
    done = subprocess.run([*command], capture_output=True, text=True, check=True, **options)  # type: ignore[call-overload]
    assert f"{60 - before} rows solved, {before} found finished, 0 with an error" in done.stdout
    assert _finished(rows) == 60
    assert _read(rows, "SELECT COUNT(*), COUNT(DISTINCT number) FROM study") == [(60, 60)]
    assert set(times) <= set(_read(rows, "SELECT key, seconds FROM result"))


def _finished(rows: Path) -> int:
    try:
        return int(_read(rows, "SELECT COUNT(*) FROM result")[0][0])
    except sqlite3.OperationalError:  # not made yet
        return 0


def _read(rows: Path, query: str) -> list[tuple[object, ...]]:
    base = sqlite3.connect(f"file:{rows}?mode=ro", uri=True, timeout=30)
    try:
        return base.execute(query).fetchall()
    finally:
        base.close()


def _until(reached: Callable[[], bool], seconds: float = 90.0) -> None:
    end = time.monotonic() + seconds
    while not reached():
        assert time.monotonic() < end, "nothing happened for too long"
        time.sleep(0.02)


def _children(parent: int) -> list[int]:
    tasks = Path(f"/proc/{parent}/task/{parent}/children")
    if not tasks.exists():
        pytest.skip("needs /proc to see the workers")
    return [int(pid) for pid in tasks.read_text().split()]


def _alive(pid: int) -> bool:
    stat = Path(f"/proc/{pid}/stat")
    try:
        return stat.read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_a_cluster_needs_a_scheduler_that_answers() -> None:
    pytest.importorskip("distributed")
    with (
        pytest.raises(InputError, match="no scheduler answers"),
        dask_cluster.cluster("tcp://127.0.0.1:9"),
    ):
        pass


def test_a_second_interrupt_waits_for_the_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """It came while the pool was ending, and left the processes to wait for each other."""
    ended: list[bool] = []

    class Pool(ThreadPoolExecutor):
        def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
            os.kill(os.getpid(), signal.SIGINT)
            super().shutdown(wait, cancel_futures=cancel_futures)
            ended.append(True)

    monkeypatch.setattr(workforce, "process_pool", Pool)
    with heeded():
        with pytest.raises(KeyboardInterrupt, match="first"), workforce.ending_pool(1):
            raise KeyboardInterrupt("first")
        assert ended == [True]
        assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


class _Ends(Executor):
    """Every job ends with one error, as a cluster hands it on."""

    def __init__(self, error: BaseException) -> None:
        self.error = error

    def submit(self, fn: Callable[..., object], /, *args: object, **_: object) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_exception(self.error)
        return future


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (OSError("lost"), "scheduler does not answer any more; finished rows are safe"),
        (CancelledError(), "scheduler does not answer any more; finished rows are safe"),
        (ModuleNotFoundError("No module named 'soapfilm'"), "install the same version there"),
    ],
)
def test_what_a_cluster_loses_is_one_line(
    study: Study, store: Store, error: BaseException, told: str
) -> None:
    with pytest.raises(SolveError, match=told):
        run_study(study, store, _Ends(error))


def test_a_worker_that_cannot_import_is_named() -> None:
    class Client:
        def run(self, function: object, text: str) -> dict[str, bool]:
            return {"tcp://127.0.0.1:1": True, "tcp://127.0.0.1:2": False}

    with pytest.raises(InputError, match=r"worker at tcp://127\.0\.0\.1:2 cannot import soapfilm"):
        dask_cluster._see_that_workers_load_it(Client())
