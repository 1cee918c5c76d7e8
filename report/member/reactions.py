"""What holds a member, in its table: supports and restraints, bearings, decks, and the sum."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.review.reactions import COMPONENTS, Reactions, components
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.beam.deck_reaction import DeckReaction
    from ...solver.member.review.assessment import Assessment

#: A component below this share of the largest of its kind at any support is not named as governing.
_IDLE = 1e-3
#: A difference of the theories below this share is none.
_ALIKE = 1e-4
#: Combinations whose sums are printed; of more, the one with the largest loads alone.
_MOST = 3
_QUANTITIES = ("force",) * 3 + ("moment",) * 3 + ("bimoment",)
_SUMS = ("F_x", "F_y", "F_z", "M_x", "M_y", "M_z")
#: Places along a deck at which its forces are printed.
_ALONG = ("start", "quarter", "middle", "3rd quarter", "end")


def reactions(assessment: Assessment, units: MemberUnits) -> Passage:
    """All that holds the member, by the theory that leads."""
    if not assessment.reactions:
        return []
    leads = assessment.reactions[0]
    passage: list[HeadedRows | Sentences] = [
        _supports(leads, units),
        Sentences(_support_words(assessment)),
    ]
    if leads.bearings:
        passage += [_bearings(leads, units), Sentences([_bearing_words(leads, units)])]
    if leads.decks:
        passage += _decks(leads, units)
    passage += [_sums(leads, units), Sentences([_sum_words(leads)])]
    return passage


def scales(found: Reactions) -> tuple[float, ...]:
    """The largest force, moment and bimoment of all supports and sums: what is small beside them is
    rounding."""
    rows = [components(r) for one in found.supports for r in one]
    table = np.abs(np.array(rows).reshape(-1, len(COMPONENTS)))
    applied = np.abs(found.applied)
    force = float(max(table[:, :3].max(initial=0.0), applied[:3].max(initial=0.0)))
    # Moments that come of rounding are small beside those of the loads about the member's start.
    about = 1e-3 * applied[3:5].max(initial=0.0)
    moment = float(max(table[:, 3:6].max(initial=0.0), applied[5].max(initial=0.0), about))
    # A bimoment that comes of rounding is small beside the torque times the member's length.
    reach = moment * found.length
    return (force,) * 3 + (moment,) * 3 + (max(float(table[:, 6].max(initial=0.0)), reach),)


# -- supports and restraints ---------------------------------------------------------------------
def _supports(found: Reactions, units: MemberUnits) -> HeadedRows:
    size = scales(found)
    every = {r.title: found.of(r.title) for r in found.supports[0]}
    used = [
        any(near_zero(components(r)[k], 1e3 * size[k]) for rows in every.values() for r in rows)
        for k in range(len(COMPONENTS))
    ]
    coupled = any(r.couple is not None for rows in every.values() for r in rows)
    shown = [k for k in range(len(COMPONENTS)) if used[k]]
    rows = []
    for title, mine in every.items():
        for c, governs in _governing(found, title, size).items():
            values = components(mine[c])
            row = [title, units.value(mine[c].at, "along"), found.names[c], ", ".join(governs)]
            row += [units.value(near_zero(values[k], 1e3 * size[k]), _QUANTITIES[k]) for k in shown]
            couple = mine[c].couple
            if coupled:
                torque = near_zero(values[5], 1e3 * size[5])
                row.append("-" if couple is None else units.value(couple * bool(torque), "force"))
            rows.append(row)
    heads = ["support", "at", "combination", "extreme of", *(COMPONENTS[k] for k in shown)]
    measured = ["", units.unit("along"), "", "", *(units.unit(_QUANTITIES[k]) for k in shown)]
    if len(found.names) == 1:
        heads, measured = ([h[k] for k in range(len(h)) if k != 3] for h in (heads, measured))
        rows = [[cell for k, cell in enumerate(row) if k != 3] for row in rows]
    if coupled:
        heads.append("couple")
        measured.append(units.unit("force"))
    return HeadedRows(heads, measured, rows)


def _governing(found: Reactions, title: str, size: tuple[float, ...]) -> dict[int, list[str]]:
    """Combinations under which a component is largest or smallest, in their order; a support that
    carries nothing has none."""
    governs: dict[int, list[str]] = {}
    for one in found.envelope(title):
        k = COMPONENTS.index(one.component)
        rows = [components(r)[k] for r in found.of(title)]
        if max(map(abs, rows)) <= _IDLE * size[k] or (len(rows) > 1 and np.ptp(rows) == 0):
            continue
        governs.setdefault(one.combination, []).append(f"{one.component} {one.extreme}")
    if not governs and any(
        near_zero(v, 1e3 * s)
        for r in found.of(title)
        for v, s in zip(components(r), size, strict=True)
    ):
        governs[0] = []
    return dict(sorted(governs.items()))


def _support_words(assessment: Assessment) -> list[str]:
    leads = assessment.reactions[0]
    size = scales(leads)
    idle = [
        word
        for k, word in enumerate(COMPONENTS)
        if not any(
            near_zero(components(r)[k], 1e3 * size[k]) for rows in leads.supports for r in rows
        )
    ]
    words = [
        "Forces and moments act on the member, those of one line together; M_x and M_y are about "
        "the support's point, T about the shear centre, positive from x toward y."
    ]
    if assessment.arrangements:
        words.append(
            "Moving loads stand in the arrangements that limits, moments and uplift ask for: "
            "maximum and minimum are those of these arrangements (in which crowds end on 24ths of "
            "a span, but where they keep clear), over all places those of the envelope and the "
            "bearing schedule."
        )
    elif len(leads.names) > 1:
        words.append("Every combination under which a component is largest or smallest is listed.")
    if idle:
        words.append(f"{_listed(idle)} {'are' if len(idle) > 1 else 'is'} zero at every support.")
    if any(r.couple is not None for rows in leads.supports for r in rows):
        words.append(
            "The couple is the torque over the lever arm of the connection: a pair of forces that "
            "the connection carries besides R_y."
        )
    slips = sorted({r.title for rows in leads.supports for r in rows if r.play == "taken up"})
    if slips:
        words.append(f"The clearance is taken up at {_listed(slips)}.")
    if len(assessment.reactions) > 1:
        words.append(_beside(leads, assessment.reactions[1]))
    return [" ".join(words)]


def _beside(leads: Reactions, other: Reactions) -> str:
    """How far the classical reactions are from those that lead."""
    shares = []
    for word in ("R_y", "T"):
        k = COMPONENTS.index(word)
        now, before = (
            np.array([[components(r)[k] for r in rows] for rows in theory.supports])
            for theory in (leads, other)
        )
        size = near_zero(float(np.abs(now).max(initial=0.0)), 1e3 * scales(leads)[k])
        if size > 0 and now.shape == before.shape:
            shares.append((float(np.abs(now - before).max()) / size, word))
    parting = [f"{number(100 * s, 2)} % of {word}" for s, word in shares if s > _ALIKE]
    if not parting:
        return "Sections deform here; R_y and T are those of the classical theory too."
    return (
        "Sections deform here; the classical theory differs by at most "
        f"{' and '.join(parting)}, each of its largest."
    )


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


# -- bearings ------------------------------------------------------------------------------------
def _bearings(found: Reactions, units: MemberUnits) -> HeadedRows:
    rows = []
    size = scales(found)[1]
    for b in found.bearings:
        most, least = (units.value(near_zero(v, 1e3 * size), "force") for v in (b.most, b.least))
        rows.append(
            [
                b.support,
                units.value(b.at, "along"),
                f"{b.side} " * bool(b.side) + f"x = {units.value(b.x, 'place')}",
                most,
                found.names[b.most_under],
                "uplift" if b.lifts else least,
                found.names[b.lifts[0] if b.lifts else b.least_under],
                units.value(b.hold_down, "force") if b.hold_down > 0 else "-",
            ]
        )
    unit = units.unit("force")
    return HeadedRows(
        ["bearing of", "at", "place", "max", "under", "min", "under", "hold down"],
        ["", units.unit("along"), units.unit("place"), unit, "", unit, "", unit],
        rows,
    )


def _bearing_words(found: Reactions, units: MemberUnits) -> str:
    words = "Bearings push up; left is the side of smaller x."
    lifting = [b for b in found.bearings if b.lifts]
    if lifting:
        worst = max(lifting, key=lambda b: b.hold_down)
        words += (
            f" Where one lifts, the last column is the force that would hold it down, at most "
            f"{units.text(worst.hold_down, 'force')} at {worst.support}: then all bearings hold "
            "down, and the others carry other forces than those above."
        )
    elif any(b.hold_down > 0 for b in found.bearings):
        words += " The last column is the force by which a bearing must hold down."
    return words


# -- decks ---------------------------------------------------------------------------------------
def _decks(found: Reactions, units: MemberUnits) -> list[HeadedRows | Sentences]:
    rows, shares = [], []
    for deck in found.decks:
        c = int(np.abs(deck.total_torque).argmax())
        across = bool(np.abs(deck.across).max(initial=0.0) > 1e-9 * scales(found)[0] / deck.end)
        if across and not np.abs(deck.total_torque).max() > 0:
            c = int(np.abs(deck.total_across).argmax())
        rows.append(_deck_row(deck, "m_t about shear centre", deck.torque, deck.total_torque, c,
                              units, found, "line moment", "moment"))  # fmt: skip
        if across:
            rows.append(_deck_row(deck, "q_x at its level", deck.across, deck.total_across, c,
                                  units, found, "line load", "force"))  # fmt: skip
        held = sum(abs(r.torque) for r in found.supports[c]) + sum(
            abs(d.total_torque[c]) for d in found.decks
        )
        if held > 0:
            share = abs(float(deck.total_torque[c])) / held
            shares.append(f"{deck.title!r} holds {100 * share:.0f} % of the torque that is held")
    table = HeadedRows(["deck", "per length", *_ALONG, "total", "unit", "under"], [], rows)
    words = "Forces of decks act on the member per length, at five places between their ends."
    if shares:
        words += f" {'; '.join(shares)} (sizes of all torques added up)."
    return [table, Sentences([words])]


def _deck_row(
    deck: DeckReaction,
    word: str,
    along: np.typing.NDArray[np.float64],
    total: np.typing.NDArray[np.float64],
    c: int,
    units: MemberUnits,
    found: Reactions,
    per_length: str,
    whole: str,
) -> list[str]:
    places = np.linspace(0, len(deck.z) - 1, len(_ALONG)).astype(int)
    size = float(np.abs(along).max(initial=0.0))
    return [
        deck.title,
        f"{word} ({units.unit(per_length)})",
        *(units.value(near_zero(float(along[k, c]), 1e3 * size), per_length) for k in places),
        units.value(near_zero(float(total[c]), size * (deck.end - deck.start)), whole),
        units.unit(whole),
        found.names[c],
    ]


# -- the sum -------------------------------------------------------------------------------------
def _sums(found: Reactions, units: MemberUnits) -> HeadedRows:
    names = list(range(len(found.names)))
    if len(names) > _MOST:
        names = [int(np.abs(found.applied[:3]).max(axis=0).argmax())]
    rows = []
    for c in names:
        parts = [("applied", found.applied), ("held", found.held)]
        if np.abs(found.moved).max(initial=0.0) > 0:
            parts.insert(1, ("second order", found.moved))
        total = np.sum([values for _, values in parts], axis=0)
        for word, values in (*parts, ("all", total)):
            line = [found.names[c], word]
            for k in range(6):
                kind = slice(0, 3) if k < 3 else slice(3, 6)
                size = float(np.abs([v[kind, c] for _, v in parts]).max())
                quantity = "force" if k < 3 else "moment"
                # What is smaller than rounding of the sums is none.
                value = near_zero(float(values[k, c]), size)
                line.append(units.value(value, quantity))
            rows.append(line)
    return HeadedRows(
        ["combination", "sum of", *_SUMS],
        ["", "", *[units.unit("force")] * 3, *[units.unit("moment")] * 3],
        rows,
    )


def _sum_words(found: Reactions) -> str:
    return (
        "Sums of all that acts, about the axis at the member's start and in the frame there: loads "
        f"and all that holds cancel within {float(found.miss.max(initial=0.0)):.0e} of their size "
        "in every combination."
    )
