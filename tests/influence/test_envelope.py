"""Envelopes of combinations with moving loads and patterns: brute force, statics, single solves."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.influence.analysis import influence_of
from soapfilm.solver.member.influence.case_results import case_results, read_result, shut
from soapfilm.solver.member.influence.deforming_adjoint import DeformingField
from soapfilm.solver.member.influence.envelope import Envelope, envelope_of
from soapfilm.solver.member.influence.words import asked_in_words
from soapfilm.solver.member.influence.worst_place import PARTS, arranged
from soapfilm.solver.member.model.load import Combination

from .test_beam_lines import BAR
from .test_deforming_lines import BOX

SPANS = """
[analysis]
sections = "keep their shape"
[[span]]
length = 9
radius = 40
[[span]]
length = 7
radius = 40
[[support]]
name = "prop"
at = ["start", "end of span 1", "end of span 2"]
kind = "fork"
[[load]]
case = "dead"
weight = "4 kN/m"
place = [0, 0]
[[load]]
case = "people"
weight = "3 kN/m"
place = [0, 0]
by_span = true
by_half_of = "2 m"
[[load]]
case = "stalls"
weight = "2 kN/m"
place = [0.4, 0]
by_span = true
"""
CART = """
[[vehicle]]
name = "cart"
axles = [{ at = 0, force = "8 kN" }, { at = "2 m", force = "5 kN" }]
lines = ["shear centre", [0.6, 0]]
track = "0.5 m"
dynamic_factor = 1.2
"""
CROWD = """
[[crowd]]
name = "crowd"
pressure = "5 kN/m^2"
strips = [{ place = [-0.5, 0], width = "1 m" }, { place = [0.5, 0], width = "1 m" }]
"""


def of(text: str) -> tuple[MemberRequest, Envelope]:
    request = member_from_toml(BAR + SPANS + text)
    return request, envelope_of(request)


def test_patterns_against_every_way_of_loading() -> None:
    """Six parts on and off: the extremes of all 64 ways, each solved by itself."""
    request, envelope = of(
        '[[combination]]\nname = "c"\nfactors = { dead = 1.35 }\n'
        "patterns = { people = 1.5, stalls = 0.7 }\n"
    )
    parts = {c: 1.5 if c.startswith("people") else 0.7 for c in request.member.cases if c != "dead"}
    assert sorted(parts) == [
        "people, span 1, left half", "people, span 1, right half", "people, span 2, left half",
        "people, span 2, right half", "stalls, span 1", "stalls, span 2",
    ]  # fmt: skip
    ways = [
        Combination(str(n), {"dead": 1.35} | {c: f for c, f in parts.items() if c not in left})
        for n, left in enumerate(
            [{c for c, on in zip(parts, flags, strict=True) if on}
             for flags in product([0, 1], repeat=6)]
        )
    ]  # fmt: skip
    solution = solve(request.member.with_(combinations=ways))
    table = np.array([read_result(solution, one) for one in envelope.influence.asked])
    quantity = np.array([one.quantity for one in envelope.influence.asked])
    for c, row in enumerate(table):
        size = abs(table[quantity == quantity[c]]).max()
        assert envelope.governing(c, True).value == pytest.approx(row.max(), abs=1e-9 * size)
        assert envelope.governing(c, False).value == pytest.approx(row.min(), abs=1e-9 * size)


def test_halves_of_a_load_sum_up_to_it() -> None:
    request = member_from_toml(BAR + SPANS)
    whole = member_from_toml((BAR + SPANS).replace('by_half_of = "2 m"\n', ""))
    ones = [r.member for r in (request, whole)]
    both = [
        m.with_(combinations=[Combination("p", {c: 1.0 for c in m.cases if c[:2] == "pe"})])
        for m in ones
    ]
    halves, single = (solve(m) for m in both)
    z = np.linspace(0, 16, 9)
    assert halves.at(z).M_x == pytest.approx(single.at(z).M_x, rel=1e-9)
    assert halves.at(z).phi == pytest.approx(single.at(z).phi, rel=1e-6, abs=1e-12)


def test_vehicle_and_crowd_together_and_all_results_then() -> None:
    """The worst places put on the member as loads and solved: the same value and all others."""
    request, envelope = of(
        CART + CROWD
        + '[[combination]]\nname = "use"\nfactors = { dead = 1.2, cart = 1.1, crowd = 0.5 }\n'
        '[[combination]]\nname = "dead"\nfactors = { dead = 1.35 }\n'
        '[[limit]]\ntwist = "1 deg"\n[[limit]]\nstress = "1 MPa"\ncombinations = ["use"]\n'
    )  # fmt: skip
    after, found = arranged(request, envelope)
    assert found
    assert all(a.name.startswith("use, arrangement") for a in found)
    assert after.limits[1].combinations[1:] == tuple(a.name for a in found)
    asked = envelope.influence.asked
    solution = solve(shut(after.member))
    table = np.array([read_result(solution, one) for one in asked])
    kind = np.array([one.quantity for one in asked])
    for one in found:
        column = table[:, solution.names.index(one.name)]
        wanted = one.extreme.together
        for q in np.unique(kind):
            size = abs(wanted[kind == q]).max()
            # Ends of crowds are put on equal parts of the spans.
            assert column[kind == q] == pytest.approx(wanted[kind == q], abs=size / PARTS / 4)
    # The vehicle's own axles stand on the deck with its dynamic factor.
    loads = [x for x in after.member.loads if x.placed and x.case.startswith("cart")]
    assert {round(-x.force[1] * 2 / 1.2) for x in loads} <= {8000, 5000}


def test_moving_loads_alone_are_those_of_the_influence_lines() -> None:
    """Dead load by statics of two spans, w L^2 / 8 at the pier; the crowd beside it as much."""
    text = SPANS.replace("radius = 40\n", "").replace("length = 7", "length = 9") + CROWD
    text += '[[combination]]\nname = "c"\nfactors = { dead = 1.0, crowd = 2.0 }\n'
    envelope = envelope_of(member_from_toml(BAR + text))
    c = [one.title for one in envelope.influence.asked].index("M_x at end of span 1")
    most = envelope.governing(c, True)
    assert most.value == pytest.approx((4e3 + 2 * 10e3) * 81 / 8, rel=1e-6)
    assert most.factors == {"dead": 1.0}
    assert envelope.governing(c, False).value == pytest.approx(4e3 * 81 / 8, rel=1e-6)
    # Linear: twice the factor, twice the share of what travels.
    assert [s.factor for s in most.standing] == [2.0, 2.0]


LANES = """
[[lane]]
name = "left"
place = [-1, 0]
width = "2 m"
[[lane]]
name = "right"
place = [1, 0]
width = "2 m"
[[vehicle]]
name = "van"
axles = [{ at = 0, force = "30 kN" }, { at = "3 m", force = "20 kN" }]
lanes = ["left", "right"]
MORE
[[crowd]]
name = "crowd"
pressure = "2 kN/m^2"
strips = [{ lane = "left" }, { lane = "right" }, { place = [2.5, 0], width = "1 m" }]
[[combination]]
name = "traffic"
factors = { van = 1.0, crowd = 1.0 }
"""


def test_lanes_are_filled_with_what_is_worst_in_each() -> None:
    """Both vans for the sum, one at most where it is said, crowd in the lane without one."""
    _, both = of(LANES.replace("MORE\n", ""))
    _, single = of(LANES.replace("MORE", "at_once = 1"))
    titles = [one.title for one in both.influence.asked]
    m = titles.index("M_x at middle of span 1")
    two, one = both.governing(m, False), single.governing(m, False)
    assert sorted(s.name for s in two.standing) == ["crowd", "van", "van"]
    assert {s.place.line for s in two.standing if s.name == "van"} == {0, 1}
    assert sorted(s.name for s in one.standing) == ["crowd", "crowd", "van"]
    assert two.value < one.value
    # The value is the sum of what stands there, each from the lines themselves.
    lines = both.influence.field
    total = 0.0
    for s in two.standing:
        if s.name == "van":
            place = [(-1.0, 0.0), (1.0, 0.0)][s.place.line]
            own = lines.on(place).at(np.array(s.place.axles))[:, m]
            total += float(np.array(s.place.forces) @ own)
        else:
            assert all(k == 2 for k, _, _ in s.place.parts)
            total += float(s.place.together[m])
    assert two.value == pytest.approx(total, rel=1e-9)


def test_crowd_keeps_clear_of_a_vehicle() -> None:
    """A simple span: the van in the middle, the crowd of its lane beyond what it clears."""
    changes = {
        "MORE": 'keeps_clear = "1 m"',
        'lanes = ["left", "right"]': 'lanes = ["left"]',
        ', { lane = "right" }, { place = [2.5, 0], width = "1 m" }': "",
    }
    text = LANES
    for before, after in changes.items():
        assert before in text
        text = text.replace(before, after)
    spans = SPANS.replace("radius = 40\n", "").replace('"end of span 1", ', "")
    envelope = envelope_of(member_from_toml(BAR + spans + text))
    titles = [one.title for one in envelope.influence.asked]
    found = envelope.governing(titles.index("M_x at middle of span 1"), False)
    (van,) = [s for s in found.standing if s.name == "van"]
    (crowd,) = [s for s in found.standing if s.name == "crowd"]
    # M at 8 of a span of 16 under x: x/2 up to the middle; brute force over the van's place.
    ordinate = lambda z: np.where(z < 8, z / 2, (16 - z) / 2) * ((z >= 0) & (z <= 16))  # noqa: E731
    area = lambda z: np.where(z < 8, z**2 / 4, 32 - (16 - z) ** 2 / 4)  # noqa: E731
    best = 0.0
    for first in np.linspace(0, 19, 10_001):
        for way in (-1, 1):
            axles = np.array([first, first + way * 3])
            low, high = np.clip([axles.min() - 1, axles.max() + 1], 0, 16)
            value = 30e3 * ordinate(axles[0]) + 20e3 * ordinate(axles[1])
            best = max(best, float(value + 4e3 * (32 - area(high) + area(low))))
    assert best * (1 - 1e-9) <= -found.value <= best * (1 + 1e-4)
    assert max(b for _, _, b in crowd.place.parts) == pytest.approx(16)
    assert min(van.place.axles) - 1 == pytest.approx(crowd.place.parts[0][2], abs=1e-6)


def test_a_solved_arrangement_keeps_what_a_vehicle_clears() -> None:
    """The crowd's ends beside a vehicle stay where they are, so that the member solved has what its
    envelope has: put on the nearest part of the span they made 4 % of a hold-down."""
    text = BAR + SPANS + LANES.replace("MORE", 'keeps_clear = "1.3 m"')
    request = member_from_toml(text + '[[limit]]\ntwist = "1 deg"\n')
    envelope = envelope_of(request)
    arrangement, places = arranged(request, envelope)
    solution = solve(shut(arrangement.member))
    compared = 0
    for one in places:
        parts = [p for s in one.extreme.standing if s.name == "van" for p in s.place.parts]
        if not parts:
            continue
        c = solution.names.index(one.name)
        k = one.extreme.result
        asked = envelope.influence.asked[k]
        own = read_result(solution, asked)[c]
        assert own == pytest.approx(one.extreme.value, rel=1.5e-3), asked.title
        compared += 1
    assert compared > 2


LOADED = BOX + """
[[load]]
case = "dead"
weight = "4 kN/m"
place = [0, 0]
[[load]]
case = "stall"
at = 4000
weight = "30 kN"
place = "left"
[[load]]
case = "twisting"
m_t = "2 kN*m/m"
from = 7000
to = 9000
"""  # fmt: skip


@cache
def loaded() -> MemberRequest:
    return member_from_toml(LOADED)


def test_load_cases_of_deforming_sections_by_their_work() -> None:
    """What each case makes of results, from adjoint fields, against the member solved."""
    request = loaded()
    member, units = request.member, request.units
    words = (
        "reaction of end 1", "bearing 1 of pier", "bearing 2 of pier", "M_x at 2600", "T at 2600",
        "twist at 2600", "displacement of left at 8000", "theta_x at start", "T of end 2",
    )  # fmt: skip
    asked = [asked_in_words(w, member, units) for w in words]
    found = influence_of(member, request.sections, asked, (), loaded=True)
    cases, table = case_results(found)
    assert cases == ("dead", "stall", "twisting")
    field = found.field
    assert isinstance(field, DeformingField)
    alone = shut(member).with_(combinations=())
    solution = solve_deforming(alone, field.frame.course, orders=(5, 7))
    for c, case in enumerate(solution.names):
        held = {r.title: r for r in reactions(solution, c)}
        at = solution.resultants([2600.0])
        wanted = [
            held["end 1"].force[1], held["pier"].bearings[0].force, held["pier"].bearings[1].force,
            at.M_x[0, c], at.T[0, c], solution.twist([2600.0])[0, c],
            solution.movement("left", [8000.0])[1][0, c],
        ]  # fmt: skip
        row = table[cases.index(case)]
        for value, one, title in zip(row, wanted, words, strict=False):
            k = words.index(title)
            size = abs(table[:, k]).max()
            assert value == pytest.approx(one, rel=2e-3, abs=2e-3 * size), (case, title)
        assert row[8] == pytest.approx(held["end 2"].torque, abs=2e-3 * abs(table[:, 8]).max())


def test_results_that_add_up() -> None:
    request = loaded()
    with pytest.raises(InputError, match="first order alone"):
        envelope_of(replace(request, order="second"))


CASES = """
[[case]]
name = "dead"
kind = "permanent"
[[case]]
name = "people"
kind = "traffic"
not_with = ["stalls"]
[[case]]
name = "stalls"
kind = "traffic"
[[combination_set]]
code = "EN 1990"
structure = "footbridge"
states = ["6.10", "characteristic"]
[[limit]]
twist = "1 deg"
combinations = ["characteristic"]
"""


def test_a_set_of_combinations_in_a_file() -> None:
    request, envelope = of(CART + CASES)
    names = [v.name for v in request.variable]
    assert "strength 6.10: people leading" in names
    assert "characteristic: cart leading, with people" in names
    assert not any("people" in n and "stalls" in n for n in names)
    one = request.variable[names.index("strength 6.10: people leading")]
    assert one.cases["dead"] == (1.0, 1.35)
    assert one.cases["people, span 2, left half"] == (0.0, 1.35)
    assert one.moving == {}  # psi_0 of a vehicle on a footbridge is zero
    assert "from memory" in one.source
    after, found = arranged(request, envelope)
    chosen = after.limits[0].combinations
    assert chosen
    assert all(name.startswith("characteristic") for name in chosen)
    assert any(a.name.startswith("strength") for a in found)


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ('kind = "traffic"\nnot_with', 'kind = "trafic"\nnot_with', "did you mean 'traffic'"),
        ('name = "people"\nkind', 'name = "peple"\nkind', "there is no load case 'peple'"),
        ('not_with = ["stalls"]', 'not_with = "stalls"', "not_with is a list of load cases"),
        ('not_with = ["stalls"]', 'not_with = ["people"]', "not_with names the case itself"),
        ('not_with = ["stalls"]', "psi = [2]", "psi is a list of 3 numbers"),
        ('not_with = ["stalls"]', "gamma = [1.5, -1]", "gamma is a list of 2 numbers"),
        ('kind = "permanent"', 'kind = "permanent"\nreverses = true', "acts always"),
        ('code = "EN 1990"', 'code = "EN 1991"', "code is one of"),
        ('code = "EN 1990"', 'code = "ASCE 7-22"', "belong to EN 1990; leave them out"),
        ('structure = "footbridge"\n', "", "structure is missing"),
        ('structure = "footbridge"', 'structure = "tower"', "structure is one of"),
        ('["6.10", "characteristic"]', '["6.11"]', "states is a list of"),
        ('[[case]]\nname = "dead"\nkind = "permanent"\n', "", "case 'dead' has no kind"),
        ('combinations = ["characteristic"]', 'combinations = ["rare"]', "there is no 'rare'"),
    ],
)
def test_bad_cases_and_sets(before: str, after: str, message: str) -> None:
    text = BAR + SPANS + CASES
    assert before in text
    with pytest.raises(InputError, match=message) as caught:
        member_from_toml(text.replace(before, after, 1))
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("van = 1.0", "van = 0.0", "factor of a vehicle or crowd is positive"),
        ("van = 1.0", "bus = 1.0", "load case 'bus' has no loads"),
        ("van = 1.0", "vam = 1.0", r"'vam' has no loads \(did you mean 'van'\?\)"),
        ('lanes = ["left", "right"]', 'lanes = ["middle"]', "there is no lane 'middle'"),
        ('lanes = ["left", "right"]', "lanes = []", "lanes is a list of the names"),
        (
            'lanes = ["left", "right"]',
            'lanes = ["left"]\nlines = [[0, 0]]',
            "either lines or lanes",
        ),
        ("MORE", "at_once = 0", "at_once is a whole number"),
        ("MORE", 'keeps_clear = "-1 m"', "keeps_clear is not negative"),
        (
            "MORE",
            '[[lane]]\nname = "left"\nplace = [0, 0]\nwidth = 1',
            "two lanes are named 'left'",
        ),
        ('width = "2 m"', 'width = "0 m"', "a lane's width is positive"),
        ('name = "van"', 'name = "dead"', "is a load case and a moving load too"),
        ('name = "van"', 'name = "crowd"', "two moving loads are named 'crowd'"),
        ("factors = {", "patterns = { van = 1.0 }\nfactors = {", "'van' travels already"),
        ('name = "traffic"\n', "", "name is missing"),
    ],
)
def test_bad_lanes(before: str, after: str, message: str) -> None:
    text = BAR + SPANS + LANES
    assert before in text
    with pytest.raises(InputError, match=message) as caught:
        member_from_toml(text.replace(before, after, 1).replace("MORE\n", ""))
    assert "\n" not in str(caught.value)


IMPOSED = """
[[temperature]]
case = "heat"
uniform = "20 K"
top = "10 K"
bottom = "0 K"
[[settlement]]
case = "sinking"
support = "pier"
down = "5 mm"
[[load]]
case = "dead"
weight = "4 kN/m"
place = [0, 0]
"""


def test_temperature_and_settlement_among_the_cases() -> None:
    """Against the member solved, case by case: by their work, and by a solution of its own."""
    warm = BOX.replace("nu = 0.3", 'nu = 0.3\nthermal_expansion = "12e-6 1/K"')
    # Diaphragms warm with the member: those of an envelope pressed on it, 2 % of a reaction.
    plates = '[[diaphragm]]\nat = ["start", "3 m", "end of span 1", "end"]\n'
    request = member_from_toml(warm + IMPOSED + plates)
    member, units = request.member, request.units
    words = (
        "reaction of end 1",
        "bearing 1 of pier",
        "M_x at 2600",
        "displacement of left at 8000",
    )
    asked = [asked_in_words(w, member, units) for w in words]
    found = influence_of(member, request.sections, asked, (), loaded=True)
    cases, table = case_results(found)
    field = found.field
    assert isinstance(field, DeformingField)
    solution = solve_deforming(
        shut(member).with_(combinations=()), field.frame.course, orders=(5, 7)
    )
    for c, case in enumerate(solution.names):
        held = {r.title: r for r in reactions(solution, c)}
        wanted = [
            held["end 1"].force[1], held["pier"].bearings[0].force,
            solution.resultants([2600.0]).M_x[0, c], solution.movement("left", [8000.0])[1][0, c],
        ]  # fmt: skip
        own = table[cases.index(case)]
        assert own == pytest.approx(wanted, rel=3e-3), case
        assert abs(own[2]) > 0


def test_the_envelope_names_the_combination_that_governs() -> None:
    """Dead load 1.35 times against dead load with a few people: hogging of the pier by the one,
    the least hogging by the other, which nobody walks on then."""
    text = SPANS.replace("radius = 40\n", "").replace("length = 7", "length = 9") + CROWD
    text += '[[combination]]\nname = "heavy"\nfactors = { dead = 1.35 }\n'
    text += '[[combination]]\nname = "few"\nfactors = { dead = 1.0, crowd = 0.1 }\n'
    envelope = envelope_of(member_from_toml(BAR + text))
    names = [one.name for one in envelope.combinations]
    c = [one.title for one in envelope.influence.asked].index("M_x at end of span 1")
    most, least = envelope.governing(c, True), envelope.governing(c, False)
    assert (names[most.combination], names[least.combination]) == ("heavy", "few")
    assert most.value == pytest.approx(1.35 * 4e3 * 81 / 8, rel=1e-6)
    assert least.value == pytest.approx(4e3 * 81 / 8, rel=1e-6)
    assert least.standing == ()
    # Of "few" alone, people on both spans hog too.
    own = envelope.governing(c, True, [names.index("few")])
    assert own.value == pytest.approx((4e3 + 0.1 * 10e3) * 81 / 8, rel=1e-6)
