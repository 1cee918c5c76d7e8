"""Many inputs over all readers: ``python -m tests.fuzz.campaign --inputs 20000``; with ``--files``
over member, joint, study and size files.

Inputs are worked off by one child process. A child that stays too long with an input, or dies, is
replaced, and the input is noted; whatever is noted can be looked at again by its source and number.
Results go to a file of lines, so that the campaign can be done in pieces; the summary is written
from all of them.
"""

from __future__ import annotations

import argparse
import collections
import faulthandler
import json
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Iterator
from pathlib import Path

from .attempt import UNSOLVED, Outcome, attempt
from .file_attempt import attempt_file
from .inputs import FILE_SOURCES, SOURCES, fuzz_input
from .seeds import FILES

#: Processor seconds after which an input counts as a hang, to read and check, and to solve and draw
#: as well; and how many times as long it may take by the clock, where others use the machine.
READ_SECONDS, SOLVE_SECONDS, PATIENCE = 20, 120, 15
#: Of so many inputs that are read, one is solved and drawn if it is valid; of files about sections.
SOLVED_EVERY, FILE_SOLVED_EVERY = 8, 4
CRASH, HANG = "crash", "hang"


def main() -> None:
    """Run a piece of the campaign, or a child of it, or write the summary."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--inputs", type=int, default=20_000, help="over all sources together")
    parser.add_argument("--first", type=int, default=0, help="number of the first one of a source")
    parser.add_argument("--files", action="store_true", help="member, joint, study, size files")
    parser.add_argument("--results", default="out/fuzz.jsonl", help="file of results, added to")
    parser.add_argument("--seconds", type=float, default=540.0, help="stop after about this long")
    parser.add_argument("--summary", help="write the summary of all results to this file and stop")
    parser.add_argument("--child", action="store_true", help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.child:
        child()
        return
    results = Path(options.results)
    if options.summary:
        page = Path(options.summary)
        page.write_text(summary(results, page.read_text("utf-8")), "utf-8")
        return
    results.parent.mkdir(parents=True, exist_ok=True)
    work(list(jobs(options.inputs, options.first, options.files)), results, options.seconds)


def jobs(inputs: int, first: int, files: bool = False) -> Iterator[tuple[str, int]]:
    """Sources in turn; written section files as often as all drawings together, and member files
    more often than what is made of them. A turn's length has no factor in common with how often is
    solved."""
    turn = [*SOURCES, *["written .toml", "mutated .toml", "restated .toml"] * 2]
    if files:
        turn = [*FILE_SOURCES, *["written .member", "mutated .member"] * 2, "written .joint"]
        turn += ["restated .member"] * 4
    for k in range(inputs):
        yield turn[k % len(turn)], first + k


def work(asked: list[tuple[str, int]], results: Path, seconds: float) -> None:
    """Give every input that has no result yet to a child, one after another."""
    done = {(r["source"], r["number"]) for r in read(results)}
    left = [job for job in asked if job not in done]
    begin = time.perf_counter()
    with results.open("a", encoding="utf-8") as file:
        while left and time.perf_counter() - begin < seconds:
            left = _by_one_child(left, file, begin + seconds)
    print(f"{len(asked) - len(left)} of {len(asked)} inputs done")


def _by_one_child(left: list[tuple[str, int]], file, until: float) -> list[tuple[str, int]]:  # type: ignore[no-untyped-def]
    """Work off inputs until the child dies, time is over or none is left; returns what is left."""
    command = [sys.executable, "-m", "tests.fuzz.campaign", "--child"]
    child = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert child.stdin is not None
    assert child.stdout is not None
    try:
        for k, (source, number) in enumerate(left):
            if time.perf_counter() > until:
                return left[k:]
            child.stdin.write(json.dumps([source, number]) + "\n")
            child.stdin.flush()
            line = child.stdout.readline()
            if not line:  # killed by its own watchdog, or by a fault in a library
                code = child.wait()
                what = HANG if code in (1, -signal.SIGPROF) else CRASH
                record = {"source": source, "number": number, "what": what, "message": f"{code}"}
                print(record, flush=True)
                file.write(json.dumps(record) + "\n")
                return left[k + 1 :]
            file.write(line)
            file.flush()
        return []
    finally:
        child.stdin.close()
        child.wait()


def child() -> None:
    """Work off the inputs named on standard input, one line of result each."""
    out = sys.stdout
    sys.stdout = sys.stderr  # what a library prints must not be taken for a result
    faulthandler.register(signal.SIGPROF, chain=True)
    for line in sys.stdin:
        source, number = json.loads(line)
        every = FILE_SOLVED_EVERY if source in FILE_SOURCES else SOLVED_EVERY
        solve = number % every == 0
        seconds = SOLVE_SECONDS if solve else READ_SECONDS
        faulthandler.dump_traceback_later(PATIENCE * seconds, exit=True)
        signal.setitimer(signal.ITIMER_PROF, seconds)
        begin = time.process_time()
        try:
            outcome = attempted(source, number, commands=solve)
            record = {"what": outcome.what}
            if outcome.what == UNSOLVED:
                record["message"] = outcome.message
        except Exception:
            record = {"what": CRASH, "message": traceback.format_exc()}
            print(source, number, traceback.format_exc(), file=sys.stderr, flush=True)
        signal.setitimer(signal.ITIMER_PROF, 0)
        faulthandler.cancel_dump_traceback_later()
        record |= {"source": source, "number": number, "solve": solve}
        record["seconds"] = round(time.process_time() - begin, 3)
        print(json.dumps(record), file=out, flush=True)


def attempted(source: str, number: int, *, commands: bool) -> Outcome:
    """One input given to the program."""
    data, kind, unit = fuzz_input(source, number)
    if kind in FILES:
        return attempt_file(data, kind, commands=commands, turn=number // FILE_SOLVED_EVERY)
    return attempt(data, kind, unit, commands=commands, turn=number // SOLVED_EVERY)


def read(results: Path) -> list[dict]:  # type: ignore[type-arg]
    """All results so far."""
    if not results.exists():
        return []
    return [json.loads(line) for line in results.read_text("utf-8").splitlines()]


def summary(results: Path, before: str = "") -> str:
    """The committed report; sources without a result keep their rows of the report before."""
    by_source = collections.defaultdict(list)
    for record in read(results):
        by_source[record["source"]].append(record)
    kept = {line.split("|")[1].strip(): line for line in before.splitlines() if line[:1] == "|"}
    lines = [f"| {' | '.join(_HEADS)} |", "| " + " | ".join("---" for _ in _HEADS) + " |"]
    for source in (*SOURCES, *FILE_SOURCES):
        if source in by_source:
            lines.append(_row(source, by_source[source]))
        elif source in kept:
            lines.append(kept[source])
    cells = [[cell.strip() for cell in line.split("|")[1:-1]] for line in lines[2:]]
    total = {head: sum(int(row[k]) for row in cells) for k, head in enumerate(_HEADS[:8]) if k}
    return _REPORT.format(
        inputs=total["number"],
        rows="\n".join(lines),
        crashes=total["crashes"],
        hangs=total["hangs"],
        unsolved=total["not solved"],
        read=READ_SECONDS,
        solve=SOLVE_SECONDS,
        every=SOLVED_EVERY,
        file_every=FILE_SOLVED_EVERY,
    )


def _row(source: str, own: list[dict]) -> str:  # type: ignore[type-arg]
    count = collections.Counter(r["what"] for r in own)
    taken = sorted(r.get("seconds", 0.0) for r in own if not r.get("solve")) or [0.0]
    solved = sorted(r["seconds"] for r in own if r.get("solve") and r["what"] == "valid")
    return (
        f"| {source} | {len(own)} | {count['valid']} | {count['refused']} | {len(solved)} "
        f"| {count[UNSOLVED]} | {count[CRASH]} | {count[HANG]} "
        f"| {1e3 * taken[len(taken) // 2]:.0f} ms | {taken[-1]:.1f} s "
        f"| {solved[-1] if solved else 0:.1f} s |"
    )


_HEADS = (
    "inputs",
    "number",
    "valid",
    "refused",
    "solved and drawn",
    "not solved",
    "crashes",
    "hangs",
    "median to read",
    "longest to read",
    "longest to solve and draw",
)
_REPORT = """\
# Random and damaged files

{inputs} inputs over all readers and files: {crashes} crashes, {hangs} hangs, {unsolved}
valid ones that the solver refused. Made by `make fuzz`, whose generators are in `tests/fuzz`;
an input is known by its source and number, and is the same in every run.

- *Written*: section files by a grammar of outlines, parametric and rolled shapes, plates, welds
  and materials, half of them with slips (a wrong kind of value, no unit, huge and tiny numbers).
- *Mutated*: valid files of each kind with bytes, numbers, words or lines changed, dropped,
  repeated, put in from elsewhere, or the end cut off. `.cases` are files of load cases.
- *Restated*: valid TOML files that say something else and are TOML still: numbers from 1e-300 to
  1e300, none, infinite, negative or of another kind, tables and keys dropped, renamed, repeated up
  to 400 times or taken from other files, texts of 20,000 characters, names of something else or of
  themselves, quantities that go round in circles. Drawings likewise, in the form of their kind:
  group codes, entities and blocks of DXF, elements and transforms of SVG, references of IFC; what
  is used may be what it stands in.
- *Retyped*: valid TOML files in another hand. Names in any script, with line breaks, control
  characters and mark-up, the same in all that refers to them; two things of one name; units and
  numbers in odd writing; files that name themselves or each other; lists longer, shorter or
  deeper; dates; then line ends, encodings, decimal commas and curly quotes of the whole text.
- *Noise*: random bytes.
- `.member`, `.joint`, `.study` and `.size` are files about sections. *Written* ones have a part
  that stands by itself and up to three tables drawn from the description of all keys; *mutated*
  ones begin as such, or as a bundled example.

For every input either a section comes out that passes all checks, or one line says what is wrong.
A Python exception of another kind, a message of several lines, a wrong exit code, or more than
{read} s of processor time ({solve} s where it is solved) would be a failure. One in {every} inputs
is solved and drawn through the commands if it is valid; its interval for J must be ordered, finite
and as narrow as asked for, unless the result says what was reached. Of files about sections it is
one in {file_every}: members must come out finite, with loads and reactions in balance by every
theory, joints, studies and sizes with all their numbers; and in turns they are given to `vibrate`,
`influence`, `report`, `pays`, `compare`, `stress` and `buckle`, whose records must hold numbers
alone and whose output no warning.

{rows}

What was found on the way is tested in `tests/fuzz/test_found.py` or beside what it broke. Inputs
that failed are counted as they come out since they were mended; seven of them on 29 November 2026,
all of them files about sections:

- a member that shrinks freely, with no stress at all, ended in an error of the eigenvalue solver;
- products and powers of quantities beyond 1e308 ended in a traceback, and `= 1e999999999 mm`, tried
  by hand, would have taken minutes and gigabytes;
- a message repeated an address or a name of 20,000 characters.

Of 11,750 further sections, drawings and load cases on 30 November 2026 (numbers from 14,250, commit
f9940b2) one failed: a message to programs repeated a name of two lines as it stands. Names that are
no UTF-8, closed streams and full disks, tried by hand, led to what `tests/cli/test_surroundings.py`
holds.

Restated drawings and retyped files came last, on commit 660b18d; nothing failed but a count of
lines in the campaign itself, where a name holds a line separator.

Files written by hand with one number of another size (a length of 1e9 m, 1e30 kN, 1e30 K, a bow of
1e9 m) led to three more: rounding told as a twist of 2e15 degrees, and supports blamed for a unit.
"""

if __name__ == "__main__":
    main()
