"""Size files: which section a member may have, as TOML text; its limits stand in the member file.

::

    name = "edge beam"                   # default: the file's name
    member = "edge.toml"                 # loads, supports and [[limit]]s; relative to this file
    replaces = "tube"                    # which of its sections is sought (default: every one)
    depth = "300 mm"                     # greatest overall sizes, optional
    width = "200 mm"
    wanted = 3                           # how many of the lightest to give
    accuracy = 1e-4                      # relative width asked of J's interval
    least = "weight"                     # what is sought; or "cost", "twist", any result; or
                                         # most = "torsion_constant"
    # [cost]                             # for least = "cost": prices in any currency
    # per_mass = 2.4                     # of a kg (lb with lengths in in or ft)
    # per_weld_length = 12               # of a metre (ft) of every weld along the member

    [catalogue]                          # rolled shapes ...
    families = ["HSS", "W"]              # left out: all
    material = "S355"

    # ... or a section file with dimensions to be chosen, each by a [[parameter]] as in a study:
    # `values` are a list to choose from (plate thicknesses in stock), `from` and `to` a range.
    # section = "box.toml"
    # [[parameter]]
    # name = "wall"
    # sets = ["web.thickness", "flange.thickness"]
    # values = [6, 8, 10, 12]
    # [[parameter]]                      # diaphragms of the member file are chosen likewise; their
    # name = "spacing"                   # plates and bars count in weight and cost. A range of
    # sets = "member.diaphragm.1.every"  # spacings stands for those that leave equal bays
    # from = "3 m"
    # to = "10 m"

    # ... or neither: the addresses are then those of the member file, as in a study of it, of
    # several of its sections, of both ends of a taper ("section.tip.shape.1.OverallDepth").

What is found was judged by deforming sections, as `soapfilm member` judges it, unless the member
file says that sections keep their shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from os import PathLike
from pathlib import Path

from ....geometry.errors import InputError
from ....geometry.grades import grade
from ....geometry.input_file import name_of
from ....geometry.section_file.entry import Entry, naming
from ....geometry.section_file.kinds import SIZES, STUDY, refuse_other_kinds
from ....geometry.section_file.text import parsed, read_text
from ....geometry.units import Units
from ..choice.assortment import RolledChoice, ShapedChoice
from ..choice.member_outcome import refuse_stages
from ..choice.objective import Objective, price_length
from ..choice.section_candidate import MEMBER, of_member
from ..choice.setting import Setting, request_of
from ..choice.sizing import Sizing
from .equal_bays import spacing_address, with_equal_bays
from .member_base import MemberBase
from .parameter import Parameter
from .section_base import SectionBase
from .study_file import parameters_of, study_accuracy

_MOST_WANTED = 100


def load_sizing(
    path: str | PathLike[str], *, cached: bool = True, output_unit: str | None = None
) -> Sizing:
    """The sizing in a file.

    Parameters
    ----------
    path : path
    cached : bool, optional
        Whether solved sections are kept and found again.
    output_unit : str, optional
        Length unit of the results; left out, that of the member file.

    Raises
    ------
    InputError
        For any mistake in it, the member file or the section file; messages start with the path.
    """
    file = Path(path)
    with naming(str(path)):
        table = parsed(read_text(file))
        if isinstance(table.get("member"), str):
            member = MemberBase.from_file(file.parent / table["member"], output_unit or "")
            units = Units(member.unit or "mm", written=member.written_unit)
        else:
            units, member = Units("mm"), None
        entry = Entry("size", 0, table, units)
        refuse_other_kinds(table, SIZES, STUDY)
        entry.need("member", '"edge.toml"')
        name = entry.text("name", name_of(file))
        entry.text("member")
        replaces = entry.text("replaces")
        depth, width = (_size(entry, word) for word in ("depth", "width"))
        accuracy, wanted = study_accuracy(entry), _wanted(entry)
        objective = _objective(entry)
        choice = _choice(entry, file.parent, member, accuracy)
        entry.close()
        assert member is not None
        setting = Setting(member, replaces, depth, width, accuracy, cached, objective)
        _check(setting)
        return Sizing(name, setting, choice, wanted)


def _check(setting: Setting) -> None:
    """What can be seen before the work: a section to replace, a limit to keep."""
    request = request_of(setting.member, setting.accuracy)
    refuse_stages(request)
    if setting.replaces and setting.replaces not in request.sections:
        raise InputError(
            f"replaces: the member has no section {setting.replaces!r}; it has "
            f"{', '.join(request.sections)}"
        )
    limited = request.limits or request.frequencies or request.critical
    if not limited and setting.depth is None and setting.width is None:
        raise InputError(
            "nothing limits the section; write [[limit]] in the member file, or depth or width here"
        )


def _objective(entry: Entry) -> Objective:
    """Keys `least` or `most`, and the table `cost`."""
    if entry.has("least") and entry.has("most"):
        raise InputError("give one of least and most; a second result can be a [[limit]]")
    most = entry.has("most")
    of = entry.text("most" if most else "least", "weight")
    if not entry.has("cost"):
        if of == "cost":
            raise InputError("least = 'cost' needs prices; write [cost] and below it per_mass")
        return Objective(of, most)
    if of != "cost":
        raise InputError(f'[cost] belongs to least = "cost"; {of} is sought here')
    table = entry.table["cost"]
    if not isinstance(table, Mapping):
        raise InputError("write [cost] and below it per_mass and per_weld_length")
    inner = Entry("cost", 0, table, entry.units)
    with naming("cost"):
        per_mass = inner.plain("per_mass", 0.0) or 0.0
        per_weld = inner.plain("per_weld_length", 0.0) or 0.0
        inner.close()
        lengths = price_length(entry.units.length)[1]
        return Objective(of, most, per_mass, per_weld / lengths)


def _size(entry: Entry, key: str) -> float | None:
    value = entry.length(key)
    if value is not None and not value > 0:
        raise InputError(f"{key} must be positive, got {entry.table[key]!r}")
    return value


def _wanted(entry: Entry) -> int:
    wanted = entry.plain("wanted", 3.0)
    if wanted is None or wanted != int(wanted) or not 1 <= wanted <= _MOST_WANTED:
        raise InputError(f"wanted is a whole number from 1 to {_MOST_WANTED}, got {wanted:g}")
    return int(wanted)


def _choice(
    entry: Entry, folder: Path, member: MemberBase | None, accuracy: float
) -> RolledChoice | ShapedChoice:
    rolled, sectioned = entry.has("catalogue"), entry.has("section")
    if rolled and sectioned:
        raise InputError(
            "give one of [catalogue], for rolled shapes, and section, for dimensions to be chosen"
        )
    parameters = parameters_of(entry)
    if not (rolled or sectioned or parameters):
        raise InputError(
            'nothing is to be chosen; write [catalogue] for rolled shapes, section = "box.toml" '
            "for the dimensions of a section file, or [[parameter]] alone for numbers of the "
            "member file"
        )
    if rolled:
        if parameters:
            raise InputError("rolled shapes have no parameters; leave [[parameter]] out")
        return _catalogue(entry)
    if not parameters:
        raise InputError("nothing is to be chosen; write [[parameter]] and its keys below it")
    for parameter, steps in parameters:
        if steps is not None:
            raise InputError(
                f"parameter {parameter.name!r}: a range that is chosen from has no steps; leave "
                "them out, or list the values"
            )
    assert member is not None
    base = SectionBase.from_file(folder / entry.text("section")) if sectioned else None
    chosen = tuple(p for p, _ in parameters)
    names = [p.name for p in chosen]
    twice = [n for n in names if names.count(n) > 1]
    if twice:
        raise InputError(f"two parameters are named {twice[0]!r}; rename one")
    if base is None:
        if entry.has("replaces"):
            raise InputError(
                "replaces belongs to section or [catalogue]; without them the addresses of "
                'parameters name the sections, like sets = "section.tip.shape.1.OverallDepth"'
            )
    else:
        base.check([a for p in chosen for a in p.sets if not of_member(a)])
    whole = base is None
    read = tuple(_in_member(p, member, accuracy, whole=whole) for p in chosen)
    own = [a.removeprefix(MEMBER) for p in read for a in p.sets if whole or of_member(a)]
    member.check(own)
    return ShapedChoice(base, read)


def _in_member(
    parameter: Parameter, member: MemberBase, accuracy: float, *, whole: bool
) -> Parameter:
    """A parameter whose addresses in the member file are sound, and a range of spacings listed.
    If `whole`, all its addresses lead there, with or without saying so."""
    own = [a.removeprefix(MEMBER) for a in parameter.sets if whole or of_member(a)]
    with naming(f"parameter {parameter.name!r}"):
        if whole:
            member.check(own)
            parameter = replace(parameter, sets=tuple(own))
        else:
            member.check_diaphragms(own)
    for address in own:
        if parameter.is_range and spacing_address(address):
            request = request_of(member, accuracy)
            parameter = with_equal_bays(parameter, address, member, request)
    return parameter


def _catalogue(entry: Entry) -> RolledChoice:
    table = entry.table["catalogue"]
    if not isinstance(table, Mapping):
        raise InputError("write [catalogue] and below it families and material")
    inner = Entry("catalogue", 0, table, entry.units)
    with naming("catalogue"):
        families = table["families"] if inner.has("families") else []
        if not isinstance(families, list) or not all(isinstance(f, str) for f in families):
            raise InputError('families is a list of names, like ["HSS", "W"]')
        inner.need("material", '"S355"')
        material = inner.text("material")
        inner.close()
        grade(material)
        if families:
            from ....geometry.catalogue import search

            for family in families:
                search(family)
        return RolledChoice(tuple(families), material)
