"""The solving process: the newest wish wins, and neither a crash nor a hang takes the desk down."""

from __future__ import annotations

import asyncio
import json
import os
import signal
import sys
from collections.abc import Awaitable, Callable, Iterator
from typing import Any

import pytest
from soapfilm.desk.bench import MOST_MEMORY
from soapfilm.desk.spare import Bench, SpareBench
from soapfilm.desk.worker import Worker

from tests.desk import light_bench  # by the name that another process finds it under

from .talk import EXAMPLES, PATIENCE

BOX = (EXAMPLES / "welded-box.toml").read_text("utf-8")
PLATE = 'unit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = {}\nYDim = 10\n'


class Log:
    """What a worker has told."""

    def __init__(self) -> None:
        self.answers: list[dict[str, Any]] = []
        self.failures: list[tuple[int, str]] = []
        self._told = asyncio.Event()

    def answered(self, job: dict[str, Any], text: str) -> None:
        self.answers.append(json.loads(text))
        self._told.set()

    def failed(self, job: dict[str, Any], words: str) -> None:
        self.failures.append((job["turn"], words))
        self._told.set()

    async def until(self, there: Callable[[], object]) -> None:
        """Wait until something is there."""
        async with asyncio.timeout(PATIENCE):
            while not there():
                self._told.clear()
                await self._told.wait()

    def stages(self) -> list[tuple[int, str]]:
        """Turn and stage of every result."""
        return [(a["turn"], a["stage"]) for a in self.answers if a["kind"] == "result"]


def _job(
    turn: int, text: str, lane: str = "sheet", do: str = "sheet", **more: Any
) -> dict[str, Any]:
    home = str(EXAMPLES)
    return {"do": do, "lane": lane, "turn": turn, "text": text, "name": "s", "home": home,
            "roots": [home]} | more  # fmt: skip


#: Processes are handed from test to test, as from page to page: those that solve, and light ones.
_SPARES, _LIGHT = SpareBench(), SpareBench(light_bench.work)


@pytest.fixture(autouse=True, scope="module")
def _ended() -> Iterator[None]:
    yield
    _SPARES.close()
    _LIGHT.close()


def _working(doing: Callable[[Worker, Log], Awaitable[None]], spares: SpareBench = _LIGHT) -> Log:
    async def run() -> Log:
        log = Log()
        worker = Worker(log.answered, log.failed, spares)
        worker.start()
        try:
            await doing(worker, log)
        finally:
            worker.close()
        return log

    return asyncio.run(run())


def test_coarse_comes_before_full() -> None:
    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, BOX))
        await log.until(lambda: (1, "full") in log.stages())

    log = _working(doing, _SPARES)
    assert [a["kind"] for a in log.answers][:3] == ["drawing", "result", "result"]
    assert log.stages()[:2] == [(1, "coarse"), (1, "full")]
    coarse, full = (a["values"][0] for a in log.answers[1:3])
    assert coarse["lower"] <= full["lower"] <= full["upper"] <= coarse["upper"]
    assert full["width"] < 1e-5 < coarse["width"]


def test_the_newest_wins() -> None:
    """Of a hundred wishes at once the last is answered in full, and hardly another at all."""

    async def doing(worker: Worker, log: Log) -> None:
        for turn in range(1, 101):
            worker.submit(_job(turn, PLATE.format(50 + turn)))
        await log.until(lambda: (100, "full") in log.stages())

    log = _working(doing)
    assert [turn for turn, stage in log.stages() if stage == "full"] == [100]
    assert len({a["turn"] for a in log.answers}) < 10
    assert not log.failures


def test_lanes_do_not_overtake_each_other_for_good() -> None:
    async def doing(worker: Worker, log: Log) -> None:
        for k in range(4):
            worker.submit(_job(1, PLATE.format(60 + k), f"beside {k}", "beside", k=k))
        await log.until(lambda: len(log.answers) == 4)

    log = _working(doing)
    assert [a["k"] for a in log.answers] == [0, 1, 2, 3]


def test_a_killed_process_is_replaced() -> None:
    """As by a crash of the mesher: the job fails in words, and the next is done."""

    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, BOX, seconds=60))
        await log.until(lambda: log.answers)
        assert worker.identity is not None
        os.kill(worker.identity, signal.SIGKILL)
        await log.until(lambda: log.failures)
        worker.submit(_job(2, BOX))
        await log.until(lambda: (2, "full") in log.stages())

    log = _working(doing)
    assert [turn for turn, _ in log.failures] == [1]
    assert "ended without an answer" in log.failures[0][1]


def test_one_killed_while_idle_is_replaced_in_silence() -> None:
    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, PLATE.format(50)))
        await log.until(lambda: (1, "full") in log.stages())
        first = worker.identity
        assert first is not None
        await asyncio.sleep(0.3)  # its last word, that the job has ended
        os.kill(first, signal.SIGKILL)
        while worker.identity == first:
            await asyncio.sleep(0.05)
        worker.submit(_job(2, PLATE.format(60)))
        await log.until(lambda: (2, "full") in log.stages())

    assert not _working(doing).failures


def test_a_job_sent_to_a_dead_process_is_done_by_the_next() -> None:
    """Killed while idle, and asked before the desk has seen it."""

    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, PLATE.format(50)))
        await log.until(lambda: (1, "coarse") in log.stages())
        worker.stop()
        while worker._current is not None:
            await asyncio.sleep(0.01)
        assert worker.identity is not None
        os.kill(worker.identity, signal.SIGKILL)
        worker.submit(_job(2, PLATE.format(60)))
        await log.until(lambda: (2, "coarse") in log.stages() or log.failures)

    assert not _working(doing).failures


def test_a_hanging_process_is_cut_off() -> None:
    """Stopped, so that it never answers again."""

    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, PLATE.format(50)))
        await log.until(lambda: (1, "full") in log.stages())
        await asyncio.sleep(0.3)
        assert worker.identity is not None
        os.kill(worker.identity, signal.SIGSTOP)
        worker.submit(_job(2, PLATE.format(60), longest=1.0))
        await log.until(lambda: log.failures)
        worker.submit(_job(3, PLATE.format(70)))
        await log.until(lambda: (3, "full") in log.stages())

    log = _working(doing)
    assert [turn for turn, _ in log.failures] == [2]
    assert "cut off" in log.failures[0][1]


def test_a_large_job_waits_for_no_process_that_hangs() -> None:
    """More than a pipe holds, to a process that does not read: the desk goes on meanwhile."""

    async def doing(worker: Worker, log: Log) -> None:
        assert worker.identity is not None
        os.kill(worker.identity, signal.SIGSTOP)
        worker.submit(_job(1, PLATE.format(50) + "#" * 1_000_000, longest=0.5))
        await log.until(lambda: log.failures)
        worker.submit(_job(2, PLATE.format(60)))
        await log.until(lambda: (2, "coarse") in log.stages())

    assert [turn for turn, _ in _working(doing).failures] == [1]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells another process's limits")
def test_a_process_has_a_limit_of_memory() -> None:
    import resource

    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, PLATE.format(50)))
        await log.until(lambda: log.answers)
        assert worker.identity is not None
        limits.append(resource.prlimit(worker.identity, resource.RLIMIT_AS)[0])

    limits: list[int] = []
    _working(doing, _SPARES)
    assert 0 < limits[0] <= MOST_MEMORY


def test_what_is_stopped_is_not_answered() -> None:
    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, BOX))
        worker.stop()
        worker.submit(_job(2, PLATE.format(60), lane="beside 0", do="beside", k=0))
        await log.until(lambda: any(a["turn"] == 2 for a in log.answers))

    log = _working(doing)
    assert {a["turn"] for a in log.answers} == {2}
    assert not log.failures


def test_a_stale_job_that_hangs_gives_way_in_silence() -> None:
    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, PLATE.format(50)))
        await log.until(lambda: (1, "full") in log.stages())
        await asyncio.sleep(0.3)
        assert worker.identity is not None
        os.kill(worker.identity, signal.SIGSTOP)
        worker.submit(_job(2, PLATE.format(60)))
        worker.submit(_job(3, PLATE.format(70)))
        await log.until(lambda: (3, "full") in log.stages())

    assert not _working(doing).failures


@pytest.mark.parametrize(
    ("text", "line", "place"),
    [
        ('unit = "mm"\n\n[[shape]]\nprofile = "I"\nOverallWidth = "wide"\n', 5, None),
        ('unit = "mm"\n[[outline]]\npoints = [[0, 0], [10, 10], [10, 0], [0, 10]]\n', None, [5, 5]),
        ('unit = "mm"\nx = = 3\n', 2, None),
    ],
)
def test_what_is_invalid_is_told_with_its_place(
    text: str, line: int | None, place: list[float] | None
) -> None:
    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(7, text))
        await log.until(lambda: any(a["kind"] == "refused" for a in log.answers))

    refused = next(a for a in _working(doing, _SPARES).answers if a["kind"] == "refused")
    assert refused["turn"] == 7
    assert refused["words"]
    assert refused["line"] == line
    assert refused["place"] == (place if place is None else pytest.approx(place))


def test_at_rest_the_stresses_of_all_actions_come_too() -> None:
    """The torque's field is the same in both; those of the others are the report page's."""

    async def doing(worker: Worker, log: Log) -> None:
        worker.submit(_job(1, BOX))
        await log.until(lambda: len(log.stages()) == 3)

    log = _working(doing, _SPARES)
    torque, every = (a["field"] for a in log.answers[-2:])
    assert [t["action"] for t in torque["tau"]] == [5]
    assert [t["action"] for t in every["tau"]] == [3, 4, 5, 6]
    assert [s["action"] for s in every["sigma"]] == [0, 1, 2, 7]
    scale = [next(t for t in f["tau"] if t["action"] == 5)["components"][0]["scale"]
             for f in (torque, every)]  # fmt: skip
    assert scale[0] == pytest.approx(scale[1], rel=0.2)  # of the largest sample of each


def test_a_process_that_never_starts_is_not_started_for_ever() -> None:
    """As with a broken installation: it is said, and tried again when something is wished."""
    started: list[int] = []

    class Counting(SpareBench):
        def take(self) -> Bench:
            started.append(1)
            return SpareBench.take(self)

    async def doing(worker: Worker, log: Log) -> None:
        for turn in (1, 2):
            worker.submit(_job(turn, PLATE.format(50)))
            await log.until(lambda turn=turn: len(log.failures) == turn)
        await asyncio.sleep(0.5)

    log = _working(doing, Counting(light_bench.ends_at_once))
    assert [turn for turn, _ in log.failures] == [1, 2]
    assert 2 <= len(started) <= 8


def test_an_idle_process_serves_the_next_page() -> None:
    """A page that is loaded again finds it warm; one that is at work ends with its page."""

    async def run() -> list[int | None]:
        spares, seen = SpareBench(light_bench.work), []
        for text in (PLATE.format(50), PLATE.format(60), BOX):
            log = Log()
            worker = Worker(log.answered, log.failed, spares)
            worker.start()
            seen.append(worker.identity)
            worker.submit(_job(1, text, seconds=60))
            await log.until(lambda log=log: (1, "coarse") in log.stages())
            worker.stop()
            while text != BOX and worker._current is not None:
                await asyncio.sleep(0.01)
            worker.close()
        worker.start()
        seen.append(worker.identity)
        worker.close()
        spares.close()
        return seen

    first, second, third, fourth = asyncio.run(run())
    assert first == second == third != fourth
