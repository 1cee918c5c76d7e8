"""The document behind `soapfilm report`: which kind FILE asks for, solved and written up."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..solver.accuracy import ACCURACY
from .actions import given_cases, with_strength
from .failure import about
from .loading import in_one_piece, section_of
from .progress import shown, waiting

if TYPE_CHECKING:
    from ..report.page.document import Document
    from ..report.page.origin import Origin
    from ..solver.section.result import SectionResult

#: A document, the length unit that decides its paper, and the solved sections in it by name.
Made = tuple["Document", str, "list[tuple[str, SectionResult]]"]


#: Options that belong to a section under load cases alone.
_OF_STRESS = ("actions", "cases", "through", "strength", "factor", "output_unit", "material")
_OF_DRAWINGS = ("unit", "arcs_within", "gap", "layer", "profile")


def document_of(options: argparse.Namespace) -> Made:
    """Solve what FILE holds and write it up."""
    with about(options.file):
        make = _kind(options.file)
    if options.compare:
        if make is not _section:
            raise InputError(f"{options.file} is no section: --compare puts sections side by side")
        make = _comparison
    return make(options)


def _kind(file: str) -> Callable[[argparse.Namespace], Made]:
    """What a file holds, by the tables that only files of its kind have."""
    if not file.lower().endswith(".toml"):
        return _section  # a drawing, or a rolled shape by its designation
    from ..geometry.section_file.kinds import MEMBER, SECTION, STUDY, kind_of, refuse_other_kinds
    from ..geometry.section_file.text import parsed, read_text

    tables = parsed(read_text(Path(file)))
    refuse_other_kinds(tables, SECTION, MEMBER, STUDY)
    return {MEMBER: _member, STUDY: _study}.get(kind_of(tables), _section)


def _section(options: argparse.Namespace) -> Made:
    from ..geometry.units import Units
    from ..report.page.section_report import section_report, stress_report

    with about(options.file):
        section = in_one_piece(section_of(options))
        section = with_strength(section, options.strength, options.factor, Units(section.unit))
    cases = given_cases(options, Units(section.unit))
    origin = _origin(options, [options.file, *([options.cases] if options.cases else [])])
    with about(options.file):
        from ..solver.section import solve_section

        with waiting("solving the section"):
            result = solve_section(section, options.accuracy)
        if not cases:
            return section_report(result, origin), section.unit, [(options.file, result)]
        from ..solver.section.stress.load_cases import solve_stress

        stress = solve_stress(
            result,
            cases,
            factor=options.factor or 1.0,
            progress=lambda items: shown(list(items), "load cases"),
        )
        return stress_report(stress, origin), section.unit, [(options.file, stress.result)]


def _member(options: argparse.Namespace) -> Made:
    alone = tuple(name for name in _OF_STRESS if name != "output_unit")
    _refuse(options, (*alone, *_OF_DRAWINGS), "is a member, whose own file says its loads")
    from ..solver.member.file import load_member
    from .member import assessed, solved_sections, staged_of

    with about(options.file):
        request = load_member(options.file, options.output_unit)
        origin = _origin(options, [options.file, *_section_files(options.file)])
        if request.stages:
            from ..report.page.stages_report import stages_report

            solved = [(n, s.result) for n, s in request.sections.items() if s.result is not None]
            document = stages_report(staged_of(request), origin)
            return document, request.units.length, solved
        assessment = assessed(request)
        from ..report.page.member_report import member_report

        document = member_report(assessment, origin)
        return document, assessment.request.units.length, solved_sections(assessment)


def _comparison(options: argparse.Namespace) -> Made:
    alone = tuple(name for name in _OF_STRESS if name != "material")
    _refuse(options, alone, "is compared as a section by itself")
    from ..solver.study.choice.comparison import compare_sections, distinct_names
    from .section_words import section_by_word

    words = [options.file, *options.compare]
    sections = distinct_names([section_by_word(word, options, options.material) for word in words])
    comparison = compare_sections(sections, accuracy=options.accuracy)
    from ..report.page.compare_report import compare_report

    origin = _origin(options, words)
    solved = [(result.section.name, result) for result in comparison.results]
    return compare_report(comparison, words, origin), comparison.unit, solved


def _study(options: argparse.Namespace) -> Made:
    """The rows that `soapfilm sweep` has solved."""
    _refuse(options, (*_OF_STRESS, *_OF_DRAWINGS), "is a study, whose own file says what it varies")
    rows = Path(options.file).with_suffix(".sqlite")
    if not rows.exists():
        raise InputError(
            f"{options.file}: its rows are not solved ({rows} does not exist); solve them first "
            f"with: soapfilm sweep {options.file}"
        )
    with about(options.file):
        from ..report.page.study_report import study_report
        from ..solver.study.file.study_file import load_study

        study = load_study(options.file)
        with study.open_store(str(rows)) as store:
            document = study_report(study, store, _origin(options, [options.file]))
            return document, study.base.unit, []


def _refuse(options: argparse.Namespace, names: Sequence[str], why: str) -> None:
    """An option that has no meaning for the kind of file must not pass unseen."""
    for name in names:
        if getattr(options, name):
            word = "ACTION" if name == "actions" else f"--{name.replace('_', '-')}"
            raise InputError(f"{options.file} {why}: leave out {word}")


def _section_files(file: str) -> list[str]:
    """The section files that a member file names, beside it."""
    from ..geometry.section_file.text import parsed, read_text

    tables = parsed(read_text(Path(file))).get("section", {})
    named = [t.get("file") for t in tables.values() if isinstance(t, dict)]
    return [str(Path(file).parent / name) for name in dict.fromkeys(named) if name]


def _origin(options: argparse.Namespace, paths: list[str]) -> Origin:
    """Command, input files and date."""
    from datetime import date

    from ..report.page.origin import Origin

    files = [path for path in paths if Path(path).exists()]  # a rolled shape has none
    return Origin.of(command_text(options), files, date.today().isoformat())


def command_text(options: argparse.Namespace) -> str:
    """The command that gives this report again, apart from where it is written.

    >>> from argparse import Namespace
    >>> command_text(Namespace(file="deck.toml", actions=["T = 2 kN*m"], accuracy=1e-7))
    "soapfilm report deck.toml 'T = 2 kN*m' --accuracy 1e-07"
    """
    words = ["soapfilm", "report", options.file, *getattr(options, "actions", [])]
    for name in (
        *_OF_DRAWINGS,
        "output_unit",
        "material",
        "cases",
        "through",
        "strength",
        "factor",
    ):
        value = getattr(options, name, None)
        for one in value if isinstance(value, list) else [] if value is None else [value]:
            words += [f"--{name.replace('_', '-')}", str(one)]
    for other in getattr(options, "compare", []):
        words += ["--compare", other]
    if options.accuracy != ACCURACY:
        words += ["--accuracy", f"{options.accuracy:g}"]
    return shlex.join(words)
