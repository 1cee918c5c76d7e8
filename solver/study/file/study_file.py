"""Study files: which file is changed, by which parameters, at which points, as TOML text.

::

    name = "walls of the cladding tube"  # default: the file's name
    section = "tube.toml"                # the section file to change, relative to this one,
    # member = "edge.toml"               # or a member file: then rows tell what the member does
    kind = "grid"                        # every combination (default); "list": the first values of
                                         # all parameters, then the second ones; or "sample"
    accuracy = 1e-4                      # relative width asked of J's interval

    [[parameter]]
    name = "wall"                        # column of the results
    sets = "tube.WallThickness"          # where the value goes (see `address`), or several places:
                                         # sets = ["upper.thickness", "lower.thickness"]
    values = [5, 6.3, 8, 10]             # numbers in the file's unit, or texts ("1/4 in", "W10X49")

    [[parameter]]
    name = "side"
    sets = ["tube.XDim", "tube.YDim"]
    from = 100                           # a range, ends included; "4 in" bears its own unit
    to = 200
    steps = 11                           # how many values of it; none in a sample
    spacing = "even"                     # or "log"

A sample spreads its points evenly over all ranges at once: `count` of them (for "sobol" a power of
two), by `method` = "sobol" (default), "halton" or "latin", repeatable by `seed` (default 0).
"""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from ....geometry.errors import InputError
from ....geometry.input_file import name_of
from ....geometry.section_file.entry import Entry, naming
from ....geometry.section_file.kinds import STUDY, refuse_other_kinds
from ....geometry.section_file.text import parsed, read_text
from ....geometry.units import Units
from ...accuracy import STUDY_ACCURACY, check_width
from ..run.sweep import Study
from .parameter import Parameter, read_parameter
from .plan import METHODS, Plan
from .section_base import Base, SectionBase

KINDS = ("grid", "list", "sample")


def load_study(path: str | PathLike[str], output_unit: str | None = None) -> Study:
    """The study in a file.

    Parameters
    ----------
    path : path
    output_unit : str, optional
        Length unit of the results; left out, that of the file it changes.

    Raises
    ------
    InputError
        For any mistake in it or in the file it changes; the message starts with the path.
    """
    file = Path(path)
    with naming(str(path)):
        entry = Entry("study", 0, parsed(read_text(file)), Units("mm"))
        name = entry.text("name", name_of(file))
        base = base_of(entry, file.parent, output_unit or "")
        accuracy = study_accuracy(entry)
        plan = _plan(entry)
        return Study(name, base, plan, accuracy)


def base_of(entry: Entry, folder: Path, output_unit: str = "") -> Base:
    """The file that is changed, its results in `output_unit` or its own."""
    if entry.has("member"):
        if entry.has("section"):
            raise InputError(
                "give either section or member, the one file that is changed; a file with both is "
                "one of sizes: use soapfilm size"
            )
        from .member_base import MemberBase

        return MemberBase.from_file(folder / entry.text("member"), output_unit)
    if entry.has("span"):
        raise InputError('this is a member file; a study names one, member = "edge.toml"')
    refuse_other_kinds(entry.table, STUDY)
    entry.need("section", '"girder.toml"')
    return SectionBase.from_file(folder / entry.text("section"), output_unit)


def study_accuracy(entry: Entry) -> float:
    """Key `accuracy`."""
    accuracy = entry.plain("accuracy", STUDY_ACCURACY)
    check_width(accuracy or 0.0)
    return accuracy or 0.0


def parameters_of(entry: Entry) -> list[tuple[Parameter, int | None]]:
    """All ``[[parameter]]`` tables, each with the steps of its range."""
    tables = entry.table["parameter"] if entry.has("parameter") else []
    if not isinstance(tables, list) or not all(isinstance(t, dict) for t in tables):
        raise InputError("parameter: write it as a table in double brackets, [[parameter]]")
    found = []
    for n, table in enumerate(tables, 1):
        inner = Entry("parameter", n, table, entry.units)
        with naming(inner.label):
            found.append(read_parameter(inner))
    return found


def _plan(entry: Entry) -> Plan:
    kind = entry.choice("kind", KINDS, "grid")
    count, seed = entry.plain("count"), entry.plain("seed")
    method = entry.choice("method", METHODS, "sobol")
    sampled = any(entry.has(key) for key in ("count", "seed", "method"))
    read = parameters_of(entry)
    entry.close()
    parameters = tuple(p for p, _ in read)
    if kind != "sample":
        if sampled:
            raise InputError(
                f'count, method and seed belong to kind = "sample"; this study is a {kind}'
            )
        return Plan(kind, parameters, tuple(n for _, n in read))
    for parameter, steps in read:
        if steps is not None:
            raise InputError(f"parameter {parameter.name!r}: a sample has no steps; leave them out")
    for word, value in (("count", count), ("seed", seed)):
        if value is not None and (value != int(value) or value < 0):
            raise InputError(f"{word} is a whole number of 0 or more, got {value:g}")
    if count is None:
        raise InputError("count is missing; write how many points the sample has, like count = 256")
    return Plan(kind, parameters, (), int(count), method, int(seed or 0))
