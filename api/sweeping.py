"""`sweep`: a section or member over parameters, with rows that outlive a killed process."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError
from .geometry.input_file import name_of
from .geometry.section import Section
from .loading import load
from .report.data_table import DataTable

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from .solver.study.file.plan import Plan
    from .solver.study.run.sweep import Progress, Study


def sweep(
    source: Callable[..., Any] | str | os.PathLike[str] | Study,
    parameters: Mapping[str, Any] | None = None,
    *,
    store: str | os.PathLike[str] | None = None,
    unit: str | None = None,
    material: str | None = None,
    kind: str = "grid",
    count: int = 0,
    method: str = "sobol",
    seed: int = 0,
    accuracy: float | None = None,
    workers: int = 1,
    executor: Executor | None = None,
    cached: bool = True,
    progress: Callable[[Progress], None] | None = None,
) -> DataTable:
    """Solve a section or member at every point of a grid, list or sample of its parameters.

    Parameters
    ----------
    source : function, path or Study
        A function of the parameters by name that returns anything `load` takes as a section (a
        shapely polygon, a builder, a designation); a section or member file whose values are
        changed; or a study file, which brings its own parameters.
    parameters : mapping, optional
        By name, for a file by address ("shape.1.WallThickness"): a sequence of values, or a range
        `{"from": 5, "to": 12, "steps": 8}` (without steps in a sample).
    store : path, optional
        SQLite file of the rows, as `soapfilm sweep` writes it: each row is safe as soon as it is
        solved, and the same call goes on where one was killed. Left out, rows live in memory alone.
    unit, material
        Of polygons that the function returns, as for `load`.
    kind : "grid", "list" or "sample"
        Every combination; the first values of all, then the second ones; `count` points of the
        ranges by `method` ("sobol", "halton", "latin") and `seed`.
    accuracy : float, optional
        Relative width asked of J's interval, 1e-4 when left out.
    workers : int
        Processes; one works in this process. A script that asks for more starts them under
        ``if __name__ == "__main__"``.
    executor : Executor, optional
        Of `concurrent.futures` or Dask, in place of processes of our own.
    cached : bool
        Whether solved sections are looked up, and kept, in the user's cache.
    progress : function, optional
        Told how far it is after every row.

    Returns
    -------
    DataTable
        A row a point: its number, parameters, results by the names of `SectionSolution`, the error
        of a row that has none, seconds.

    Raises
    ------
    InputError
        For a wrong parameter, or a store of another study.
    SolveError
        If the workers break down; finished rows stay in the store.

    Examples
    --------
    >>> import shapely
    >>> rows = sweep(lambda b: shapely.box(0, 0, b, 50), {"b": [10, 20]}, unit="mm")
    >>> rows["b"], [f"{j:.3g}" for j in rows["torsion_constant"]], rows.units["torsion_constant"]
    ([10, 20], ['1.46e+04', '9.97e+04'], 'mm^4')
    """
    study = _study(source, parameters, (kind, count, method, seed), unit, material, accuracy)
    return rows_of(study, store, workers, executor, cached, progress)


def rows_of(
    study: Study,
    store: str | os.PathLike[str] | None = None,
    workers: int = 1,
    executor: Executor | None = None,
    cached: bool = True,
    progress: Callable[[Progress], None] | None = None,
) -> DataTable:
    """Solve what is missing of a study and give all its rows."""
    from .report.study.columns import study_table
    from .solver.study.run.store_trouble import troubles_told
    from .solver.study.run.sweep import run_study
    from .solver.study.run.workforce import InlineExecutor, ending_pool

    if workers < 1:
        raise InputError(f"workers is a number of processes from 1 on, got {workers}")
    with ExitStack() as stack:
        if store is None:
            store = Path(stack.enter_context(TemporaryDirectory()), "rows.sqlite")
        path = os.fspath(store)
        stack.enter_context(troubles_told(path))
        rows = stack.enter_context(study.open_store(path))
        renew: Callable[[], Executor] | None = None
        if executor is None and workers == 1:
            executor = stack.enter_context(InlineExecutor())
        elif executor is None:
            executor = stack.enter_context(ending_pool(workers))

            def renew() -> Executor:
                return stack.enter_context(ending_pool(workers))

        run_study(
            study, rows, executor, workers=workers, cached=cached, renew=renew, progress=progress
        )
        return study_table(study, rows)


def _study(
    source: Any,
    parameters: Mapping[str, Any] | None,
    how: tuple[str, int, str, int],
    unit: str | None,
    material: str | None,
    accuracy: float | None,
) -> Study:
    from .solver.accuracy import STUDY_ACCURACY, check_width
    from .solver.study.run.sweep import Study

    width = STUDY_ACCURACY if accuracy is None else accuracy
    check_width(width)
    if callable(source):
        plan = _plan(parameters, how)
        return Study(_name(source), _shapes(source, plan, unit, material), plan, width)
    if parameters is None:
        found = load(source)
        if not isinstance(found, Study):
            raise InputError("parameters are missing; give them, or a study file that has its own")
        if accuracy is not None:
            raise InputError("a study's accuracy stands in its file: accuracy = 1e-6 at the top")
        return found
    return Study(name_of(source), _base(Path(source)), _plan(parameters, how), width)


def _base(path: Path) -> Any:
    """The file whose values are changed."""
    from .geometry.section_file.entry import naming
    from .geometry.section_file.kinds import kind_of
    from .geometry.section_file.text import parsed, read_text
    from .solver.study.file.member_base import MemberBase
    from .solver.study.file.section_base import SectionBase

    with naming(str(path)):
        kind = kind_of(parsed(read_text(path))) if path.suffix.lower() == ".toml" else "section"
    return MemberBase.from_file(path) if kind == "member" else SectionBase.from_file(path)


def _plan(parameters: Mapping[str, Any] | None, how: tuple[str, int, str, int]) -> Plan:
    from .geometry.section_file.entry import Entry, naming
    from .geometry.units import Units
    from .solver.study.file.parameter import read_parameter
    from .solver.study.file.plan import Plan
    from .solver.study.file.study_file import KINDS

    kind, count, method, seed = how
    if kind not in KINDS:
        raise InputError(f"kind is one of {', '.join(KINDS)}, got {kind!r}")
    if not parameters:
        raise InputError('parameters are missing; give them like {"wall": [5, 6, 8]}')
    read = []
    for n, (name, given) in enumerate(parameters.items(), 1):
        table = dict(given) if isinstance(given, Mapping) else {"values": _values(given)}
        with naming(f"parameter {name!r}"):
            keys = {"name": name, "sets": name} | table
            read.append(read_parameter(Entry("parameter", n, keys, Units("mm"))))
    found = tuple(parameter for parameter, _ in read)
    if kind == "sample":
        return Plan(kind, found, (), count, method, seed)
    return Plan(kind, found, tuple(steps for _, steps in read))


def _values(given: Any) -> list[Any]:
    """A list of Python's own numbers and texts."""
    if isinstance(given, (str, bytes)) or not isinstance(given, (Iterable, Sequence)):
        raise InputError(f"values are a sequence like [5, 6, 8], got {given!r}")
    return [value.item() if hasattr(value, "item") else value for value in given]


def _shapes(make: Callable[..., Any], plan: Plan, unit: str | None, material: str | None) -> Any:
    from .solver.study.file.shape_function import ShapeFunction

    def section(**values: Any) -> Section:
        found = load(make(**values), unit=unit, material=material)
        if not isinstance(found, Section):
            raise InputError(f"{_name(make)} gave a {type(found).__name__}; sections are swept")
        return found

    first = plan.assignments(next(iter(plan.points())))
    length = unit if unit is not None else section(**first).unit
    return ShapeFunction(section, _name(make), length)


def _name(make: Callable[..., Any]) -> str:
    return str(getattr(make, "__name__", "shapes")).strip("<>")
