"""The member file a study changes, and what the member does with the changed values.

Section files that the member names become part of it, so a study changes their values as if they
were written there ("section.tube.wall.WallThickness"), and workers need no files; drawings and
placed sections stay files.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ....geometry.errors import FileFormatError, InputError
from ....geometry.input_file import name_of
from ....geometry.section_file.entry import naming
from ....geometry.section_file.entry_list import HEADER
from ....geometry.section_file.text import parsed, read_text
from ..run.content import digest
from .address import Tables, assigned, check_apart, value_at
from .companions import companions_digest
from .parameter import Value

if TYPE_CHECKING:
    from ...member.file.request import MemberRequest
    from ...member.model.solved_section import Solving
    from ..run.cache import RecordCache

_HEADING = re.compile(r"^\s*\[\[\s*([^\]]+?)\s*\]\]", re.MULTILINE)
#: Results, in order; `governing` is the limit used most. They are those of deforming sections;
#: where `theory` says "classical", why is told.
COLUMNS = (
    "mass", "twist_deg", "displacement", "deflection", "stress", "limit_used", "governing",
    "stress_bounded", "critical_factor", "theory", "classical_alone_because", "theories_part",
    "change_by_last_modes", "twist_deg_classical", "displacement_classical",
    "deflection_classical", "stress_classical", "limit_used_classical",
    "critical_factor_classical",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class MemberBase:
    """A member file with its section files in it.

    Attributes
    ----------
    tables : str
        As JSON.
    order : str
        Headings of the parts of sections, in order.
    name : str
    folder : str
        Where the other files it names are sought; workers elsewhere need the same folder.
    files : str
        Digest of those files' content.
    output_unit : str
        Length unit of the results where it is not the file's.
    """

    tables: str
    order: str
    name: str
    folder: str
    files: str
    output_unit: str = ""

    @property
    def judges_buckling(self) -> bool:
        """Whether a limit asks for the critical factor."""
        return any("critical_factor" in entry for entry in _tables(self.tables).get("limit", []))

    @classmethod
    def from_file(cls, path: Path, output_unit: str = "") -> MemberBase:
        """Read a member file; results are in `output_unit`, or in the file's own.

        Raises
        ------
        InputError
            If it cannot be read, or a file that it names.
        """
        with naming(str(path)):
            if path.suffix.lower() != ".toml":
                raise FileFormatError("a member file is TOML and ends in .toml")
            text = read_text(path)
            folder = path.resolve().parent
            tables, order = _inlined(parsed(text), text, folder)
            written = json.dumps(tables, default=str, ensure_ascii=False)
            files = companions_digest(tables, folder)
            return cls(written, order, name_of(path), str(folder), files, output_unit)

    @property
    def digest(self) -> str:
        """Key of everything a result depends on, the changed values apart."""
        headings = _HEADING.findall(self.order)
        shown = (self.output_unit,) if self.output_unit else ()
        return digest("member file", self.name, self.tables, headings, self.files, *shown)

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the results, in order: those of every member, then the use of each limit,
        the frequencies that limits name, and what each support holds, numbered as in the file."""
        tables = _tables(self.tables)
        limits = list(enumerate(tables.get("limit", []), 1))
        used = [f"limit_{n}_used" for n, _ in limits]
        used += [f"limit_{n}_hertz" for n, entry in limits if "first_frequency" in entry]
        held = (
            f"support_{n}_{word}"
            for n in range(1, _support_count(tables) + 1)
            for word in ("up_most", "up_least", "torque")
        )
        return (*COLUMNS, *used, *held)

    @property
    def main(self) -> str:
        """The result a figure shows when none is named."""
        return "twist_deg"

    @property
    def unit(self) -> str:
        """Length unit of the results."""
        return self.output_unit or self.written_unit

    @property
    def written_unit(self) -> str:
        """Length unit of the file's bare numbers."""
        unit = _tables(self.tables).get("unit")
        return unit if isinstance(unit, str) else ""

    @property
    def parsed(self) -> Tables:
        """The tables, which whoever changes them copies first."""
        return _tables(self.tables)

    def check(self, addresses: Iterable[str]) -> None:
        """See that addresses lead somewhere, each to another place.

        Raises
        ------
        InputError
            With what there is where an address goes astray, or what two of them set.
        """
        check_apart(_tables(self.tables), addresses)

    def value(self, address: str) -> Any:
        """What stands at an address, or in a table, expressions worked out; None where nothing is
        written."""
        from ....geometry.section_file.linked_numbers import linked

        tables = linked(_tables(self.tables), self.written_unit)
        return tables.get(address) if "." not in address else value_at(tables, address)

    def check_diaphragms(self, addresses: Iterable[str]) -> None:
        """See that addresses lead into the diaphragms.

        Raises
        ------
        InputError
            For one that leads nowhere, or to something else.
        """
        tables = _tables(self.tables)
        for address in addresses:
            changed = assigned(tables, {address: object()})
            if any(changed[key] != tables[key] for key in tables if key != "diaphragm"):
                raise InputError(
                    f"address {address!r}: of the member its diaphragms alone can be chosen, like "
                    '"member.diaphragm.1.every" or "member.diaphragm.1.thickness"'
                )

    def request(
        self,
        assignments: Mapping[str, Value],
        accuracy: float,
        solving: Solving | None = None,
    ) -> MemberRequest:
        """The member with values at addresses; its own accuracy counts where the file states it.
        `solving` says how its sections are solved, where not as always.

        Raises
        ------
        InputError, SolveError
            As reading the changed file would.
        """
        from ...member.file.member_file import member_from_table
        from ...member.model.solved_section import solved_section

        tables = assigned(_tables(self.tables), assignments)
        tables["analysis"] = {"accuracy": accuracy, **tables.get("analysis", {})}
        return member_from_table(
            tables,
            self.order,
            name=self.name,
            folder=self.folder,
            output_unit=self.output_unit or None,
            solving=solving or solved_section,
        )

    def with_diaphragms(
        self, request: MemberRequest, assignments: Mapping[str, Value]
    ) -> MemberRequest:
        """This member's request with values at addresses of its diaphragms; nothing else is read
        again.

        Raises
        ------
        InputError
            As reading the changed file would.
        """
        from ...member.file.diaphragm_tables import with_diaphragms

        return with_diaphragms(request, assigned(_tables(self.tables), assignments))

    def solved(
        self, assignments: Mapping[str, Value], accuracy: float, cache: RecordCache | None
    ) -> dict[str, Any]:
        """Results by column. (The cache holds no fields, and stresses need them.)

        Raises
        ------
        SoapfilmError
            If the changed file has no valid member, or it cannot be solved.
        """
        from ..choice.outcome_record import record, theory_record, used_and_held
        from ..choice.staged_outcome import outcome

        request = self.request(assignments, accuracy)
        found = outcome(request)
        governing = found.governing
        return {
            **record(found),
            **theory_record(found),
            **used_and_held(found, request, _limit_numbers(_tables(self.tables))),
            "governing": None if governing is None else governing.limit,
            "stress_bounded": None if found.stress is None else int(found.bounded),
        }


def _limit_numbers(tables: Tables) -> list[int]:
    """Numbers in the file of its limits, those on frequencies and on buckling last, as they are
    judged."""
    entries = list(enumerate(tables.get("limit", []), 1))
    late = [n for n, entry in entries if "first_frequency" in entry]
    late += [n for n, entry in entries if "critical_factor" in entry]
    return [n for n, _ in entries if n not in late] + late


def _support_count(tables: Tables) -> int:
    """Supports of a member file: an entry stands for one at each of its places."""
    entries = tables.get("support", [])
    if not isinstance(entries, list):
        return 0
    places = [entry.get("at") for entry in entries if isinstance(entry, Mapping)]
    return sum(len(at) if isinstance(at, list) else 1 for at in places)


#: Keys of a section that place or fill what a file holds; such a file cannot be taken in.
_PLACING = ("mirror", "rotate", "move", "material", "unit", "arcs_within")


def _inlined(tables: Tables, text: str, folder: Path) -> tuple[Tables, str]:
    """The tables with section files in place of their names, and the text with their headings."""
    found = dict(tables.get("section", {})) if isinstance(tables.get("section"), Mapping) else {}
    order = [text]
    for name, table in found.items():
        file = table.get("file") if isinstance(table, Mapping) else None
        if not isinstance(file, str) or not file.lower().endswith(".toml"):
            continue
        if any(key in table for key in _PLACING):
            continue
        with naming(f"section {name[:60]!r}: {file}"):
            inner = read_text(folder / file)
            own = parsed(inner)
            if "drawing" in own:  # its drawings are sought beside it
                continue
            found[name] = {k: v for k, v in own.items() if k != "name"}
        order += [f"[[section.{name}.{kind}]]" for kind in HEADER.findall(inner)]
    return ({**tables, "section": found} if found else tables), "\n".join(order)


@lru_cache(maxsize=8)
def _tables(text: str) -> Tables:
    """Tables from their JSON, once a process; whoever changes them copies them first."""
    tables: Tables = json.loads(text)
    return tables
