"""What a sizing found: the lightest sections, how far they use each limit, and why lighter ones
fail."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from ...geometry.units import Units
from ...solver.study.choice.fitting import GAIN
from ...solver.study.choice.objective import price_length
from ...solver.study.choice.setting import request_of
from ..member.lines import BESIDE, case_line, motion_lines, theory_lines
from ..text import caution
from ..text.blocks import CaseGroup, CaseRow
from ..text.number import number, unit_text
from ..text.rendering import paragraph, render_cases, titled
from .columns import column_unit

if TYPE_CHECKING:
    from ...solver.study.choice.sizing import SizeResult
    from ...solver.study.choice.trial import Trial

_DIGITS = 4
#: Candidates refused because sections deform that are named.
REFUSED = 3
#: Results that have a line of their own in every table.
_SHOWN = (
    "weight", "depth", "width", "twist_deg", "displacement", "deflection", "stress",
    "critical_factor",
)  # fmt: skip


def size_table(result: SizeResult, units: Units) -> str:
    """The table as text.

    Parameters
    ----------
    result : SizeResult
    units : Units
        Of the member.
    """
    if not result.found:
        return _nothing(result)
    objective = result.sizing.setting.objective
    title = f"{result.sizing.name}: the {objective.superlative} that keeps every limit"
    if objective.superlative in ("lightest", "cheapest"):
        title = f"{result.sizing.name}: the {objective.superlative} sections that keep every limit"
    text = render_cases(
        title, [t.label for t in result.found], [CaseGroup("Found", _lines(result, units))]
    )
    return text + "".join(f"{line}\n" for line in (*_rejected(result, units), *_notes(result)))


def _lines(result: SizeResult, units: Units) -> list[CaseRow]:
    trials = result.found
    outcomes = [t.outcome for t in trials]
    lines = [
        weight_line(trials, units),
        *_sought(result, units),
        case_line("overall depth", "h", units.length, [t.depth for t in trials]),
        case_line("overall width", "b", units.length, [t.width for t in trials]),
        *theory_lines(outcomes),
        *motion_lines(outcomes, units),
    ]
    factors = [None if o is None else o.critical_factor for o in outcomes]
    lines.append(case_line("critical load factor", "", "", factors))
    classical = [None if o is None else o.classical_factor for o in outcomes]
    if classical != factors:
        lines.append(case_line(BESIDE, "", "", classical))
    for n, check in enumerate(trials[0].checks):
        used = [t.checks[n].ratio if n < len(t.checks) else None for t in trials]
        lines.append(case_line(f"used: {check.limit}", "", "", used))
    return lines


def _sought(result: SizeResult, units: Units) -> list[CaseRow]:
    """The objective's own line, where no other one shows it."""
    objective = result.sizing.setting.objective
    if objective.of in _SHOWN:
        return []
    values = [objective.shown(t.value) for t in result.found]
    if objective.of == "cost":
        per, lengths = price_length(units.length)
        return [case_line("cost per length", "", f"1/{per}", [lengths * v for v in values])]
    unit, factor = column_unit(objective.of, units.length)
    return [case_line(objective.words, "", unit, [factor * v for v in values])]


def weight_line(trials: Sequence[Trial], units: Units) -> CaseRow:
    """Mass per length, or the area where a density is missing."""
    label, factor = weight_unit(trials, units)
    words = "mass per length" if label != unit_text(f"{units.length}^2") else "area"
    return case_line(
        words, "m" if words != "area" else "A", label, [factor * t.weight for t in trials]
    )


def weight_unit(trials: Iterable[Trial], units: Units) -> tuple[str, float]:
    """Unit of weights, and the factor that takes them there; areas where masses are not known."""
    masses = [t.outcome.mass for t in trials if t.outcome is not None]
    if masses and all(m is not None for m in masses):
        label, factor = units.display("mass per length")
        return unit_text(label), factor
    return unit_text(f"{units.length}^2"), 1.0


def _rejected(result: SizeResult, units: Units) -> list[str]:
    better = _better(result)
    lines: list[str] = []
    if held := _held_back(result):
        lines += ["", *titled("What holds it back", "-")]
        lines += [line for note in held for line in paragraph(note, "", "  ")]
    label, factor = weight_unit(result.found, units)
    if result.neighbours:
        lines += ["", *titled(f"{better.capitalize()} neighbours, and why they fail", "-")]
    for trial in result.neighbours:
        lines += paragraph(f"{trial.label}: {number(factor * trial.weight, _DIGITS)} {label}")
        lines += reasons(trial)
    return [*lines, "", *paragraph(_closing(result), "", "")]


def _better(result: SizeResult) -> str:
    return "lighter" if result.sizing.setting.objective.superlative == "lightest" else "better"


def _held_back(result: SizeResult) -> list[str]:
    """The limits that are used up, what easing each is worth, and the ends of ranges."""
    held, objective = result.holding, result.sizing.setting.objective
    if held is None:
        return []
    lines = [
        f"{words}: used up; 1 % more of it makes the best {number(factor, 2)} % {_better(result)}"
        for words, factor in (held.limits if held.balanced else ())
    ]
    lines += [f"{name}: at the {word} end of its range" for name, word in held.ends]
    return lines + [
        f"{name}: changes neither the {objective.words} nor the use of any limit"
        for name in held.idle
    ]


def _closing(result: SizeResult) -> str:
    """What is known of everything else that could be chosen: no more than was looked at."""
    better, objective = _better(result), result.sizing.setting.objective
    if (ending := result.ending) is None:
        if result.fits or result.rounded or not result.found:
            return ""
        if objective.cheap:
            everything = f"Everything {better} that could be chosen was tried; none of it keeps"
        else:
            everything = "Everything that could be chosen was tried; nothing better keeps"
        return f"{everything} every limit{_judged_by(result)}."
    if not ending.converged:
        return (
            f"The search stopped after {ending.solved} solutions without an end in sight: "
            f"something {better} may exist. Narrow the ranges around what was found and run it "
            "again."
        )
    beside = f" and {ending.sloped} beside them for slopes" if ending.sloped else ""
    told = (
        f"Converged after {ending.solved} solutions{beside}: functions through all of them see "
        f"nothing {better} by {100 * GAIN:g} % anywhere in the ranges"
    )
    if result.holding is not None and result.holding.balanced:
        told += f", and by the slopes of limits and {objective.words} no small change is {better}"
    return (
        f"{told}. That is sure near what was found; far from every solution something {better} "
        "may have been missed."
    )


def _judged_by(result: SizeResult) -> str:
    """By which theory limits were held against what was refused."""
    if not result.confirmation.judged:
        return ""
    over = 100 * (result.sizing.setting.reach - 1)
    return (
        f" where sections deform (what exceeds one by more than {over:.0f} % in the classical "
        "theory was taken at its word)"
    )


def confirmed(result: SizeResult) -> list[str]:
    """How what was found was judged, and what the classical theory alone would have chosen."""
    told = result.confirmation
    if not told.judged:
        return [caution.kept_shape("; ".join(sorted(set(told.alone.values()))))]
    notes = [
        f"{caution.JUDGED} {_count(told.judged, 'candidate')} "
        f"{'was' if told.judged == 1 else 'were'} judged so."
    ]
    if told.rounds > 1:
        notes.append(
            f"The search ran {told.rounds} times: each time with the ratio of both theories found "
            "at the best so far."
        )
    if told.refused:
        first = told.refused[:REFUSED]
        words = "; ".join(f"{t.label} ({t.reasons[0].words})" for t in first)
        more = f"; and {len(told.refused) - REFUSED} more" if len(told.refused) > REFUSED else ""
        notes.append(
            f"{_count(len(told.refused), 'candidate')} that "
            f"{'keeps' if len(told.refused) == 1 else 'keep'} every limit by the classical theory "
            f"{'was' if len(told.refused) == 1 else 'were'} refused because sections deform: "
            f"{words}{more}."
        )
    notes += [
        f"{label} is judged by the classical theory alone: {reason}."
        for label, reason in told.alone.items()
    ]
    for trial in result.found:
        if trial.outcome is not None and trial.outcome.stress is None and trial.outcome.change:
            notes.append(
                f"{trial.label}: its peak stress still changes with the modes, so none is stated, "
                "and a limit of stress is not judged reliably."
            )
    return notes


def _count(number_of: int, word: str) -> str:
    return f"{number_of} {word}{'' if number_of == 1 else 's'}"


def reasons(trial: Trial) -> list[str]:
    """All reasons of a rejected trial, folded."""
    return [line for reason in trial.reasons for line in paragraph(reason.words, "    ", "      ")]


def _nothing(result: SizeResult) -> str:
    title = f"{result.sizing.name}: no section keeps every limit"
    lines = [*titled(title), ""]
    closest = result.closest
    if closest is None:
        lines += paragraph("None of them could be solved in the member. Some of them, and why:")
    else:
        lines += paragraph(
            f"The closest is {closest.label}: it uses {number(closest.used, _DIGITS)} of its worst "
            "limit."
        )
        lines += reasons(closest)
        if result.holding is not None and result.holding.ends:
            ends = ", ".join(f"{name} ({word})" for name, word in result.holding.ends)
            lines += paragraph(f"At an end of its range: {ends}. Widen it, or ease the limit.")
        lines += ["", *paragraph("Others near it")]
    for trial in result.neighbours:
        if closest is None or trial.label != closest.label:
            lines += [*paragraph(trial.label), *reasons(trial)]
    lines += _notes(result)
    return "\n".join(lines) + "\n"


def _diaphragms(result: SizeResult) -> bool:
    setting = result.sizing.setting
    return bool(request_of(setting.member, setting.accuracy).member.diaphragms)


def _rounding(result: SizeResult) -> list[str]:
    """How lists were searched of which not every combination could be tried."""
    told = result.rounded
    if told is None:
        return []
    words = (
        f"The lists make {told.total} combinations, too many to try each. Their ends were taken as "
        "ranges first"
    )
    if told.value is None:
        return [f"{words}, and nothing between them keeps every limit."]
    words += f" (optimum: {told.label}), then the {told.near} combinations of the values next to it"
    if not result.found:
        return [
            f"{words}, and none of these keeps every limit. Add values between those of the lists."
        ]
    gap = 100 * abs(result.found[0].value / told.value - 1)
    return [
        f"{words}. What was found is {number(gap, 2)} % from that optimum: another combination "
        f"cannot be {_better(result)} by more, if that optimum is the best."
    ]


def _notes(result: SizeResult) -> list[str]:
    counts = result.counts
    told = ", ".join(f"{n} {words}" for words, n in counts.items() if n and words != "candidates")
    tried = counts.get("candidates", 0)
    none = next((t for t in result.tried if not t.weight and t.reasons), None)
    why = f" The first without one, {none.label}: {none.reasons[0].words}." if none else ""
    notes = [f"{tried} candidate{'s' * (tried != 1)}: {told}.{why}", *_rounding(result)]
    if any(t.outcome is not None and not t.outcome.bounded for t in result.found):
        notes.append("Stresses leave the surroundings of sharp corners out.")
    if _diaphragms(result):
        notes.append(
            "Weight and cost count the plates and bars of the member's diaphragms; a rigid one, of "
            "which no size is known, counts nothing. Their weight is no load unless the member "
            "file says so (factor of self_weight)."
        )
    notes += [*confirmed(result), caution.CHOICE]
    return ["", *(line for note in notes for line in paragraph(note, "* ", "  "))]
