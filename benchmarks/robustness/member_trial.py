"""One random member tried: solved by both theories, and held against everything known of it."""

from __future__ import annotations

import time
import traceback
import zlib
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from soapfilm.geometry.errors import SoapfilmError
from soapfilm.solver.member.deforming.change import change_of
from soapfilm.solver.member.deforming.envelope import stress_envelope
from soapfilm.solver.member.deforming.order_change import work_of
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.restraint import LateralSpring, TwistSpring
from soapfilm.solver.member.review.reactions import reactions_of

from . import member_contacts, member_solid, member_stages
from .member_arrangements import ARRANGEMENTS
from .member_case import ALL, ONE, OTHER, Array, MemberCase, SolvedMember, solved
from .member_families import FAMILIES
from .member_image import Image, bent_slightly, chained, cut_up, in_metres, mirrored, walked_back
from .member_laws import hold_euler, hold_frequencies, hold_superposition
from .member_torsion import twist, warped_share
from .member_travel import travelling
from .trial import Trial

#: All families but those beside 3D elasticity.
EVERY = {**FAMILIES, **ARRANGEMENTS}

#: Laws with members of their own, drawn from all families or made for them.
LAWS: dict[str, Callable[[Trial, np.random.Generator], None]] = {
    "travelling loads": travelling,
    **member_contacts.LAWS,
    **member_stages.LAWS,
}

#: Sums of loads and reactions, and reciprocity, relative.
BALANCE, RECIPROCITY = 1e-9, 1e-9
#: An image on another mesh may move otherwise by this share of the largest movement, or by what the
#: members state of their own change; classical images by the sections' own accuracy.
IMAGE, CLASSICAL_IMAGE = 1e-3, 1e-3
#: A chain of straight pieces may move otherwise by this share: planes lean at its kinks.
CHAIN = 0.02
#: Stress resultants of a cantilever against statics, relative to the largest of each.
STATICS = 5e-3
#: What is stiffened may take more work by this share, for its functions are others.
STIFFER = 1e-3
#: Twist of one span by its formula: exact elements, and sections that deform a little.
TORSION, TORSION_DEFORMING = 1e-7, 0.03
#: A change stated of a movement that is larger says nothing of the member.
LARGEST_CHANGE = 0.1


def every_family() -> tuple[str, ...]:
    """Families of members, laws with members of their own, 3D elasticity last."""
    return (*EVERY, *LAWS, member_solid.FAMILY)


def case_of(name: str) -> MemberCase:
    """The case of a name; the same name gives the same case everywhere."""
    return EVERY[family_of(name)](_rng(name))


def family_of(name: str) -> str:
    """The family of a name like "curved: 17"."""
    return name.rsplit(": ", 1)[0]


def _rng(name: str, part: int = 0) -> np.random.Generator:
    family, seed = name.rsplit(": ", 1)
    return np.random.default_rng([zlib.crc32(f"member {family}".encode()), int(seed), part])


def run(name: str) -> Trial:
    """Solve a case and hold the result against what is known."""
    trial = Trial(name)
    begin = time.process_time()
    try:
        if family_of(name) == member_solid.FAMILY:
            trial = member_solid.run(name, _rng(name))
        elif family_of(name) in LAWS:
            LAWS[family_of(name)](trial, _rng(name))
            trial.seconds = time.process_time() - begin
        else:
            found = solved(case_of(name))
            trial.seconds = time.process_time() - begin
            _hold(trial, found, _rng(name, 1))
        if trial.troubles:
            trial.outcome = "wrong"
    except SoapfilmError as error:
        trial.outcome = "rejected"
        trial.troubles.append(str(error))
    except Exception:  # any other error is what the campaign looks for
        trial.outcome = "crashed"
        trial.troubles.append(" | ".join(traceback.format_exc().strip().splitlines()[-4:]))
    return trial


def _hold(trial: Trial, found: SolvedMember, rng: np.random.Generator) -> None:
    case = found.case
    _hold_balance(trial, found)
    _hold_reciprocity(trial, found)
    change = change_of(
        found.deforming, stress_envelope(found.deforming, found.sections), found.sections
    )
    stated = change.displacement_anywhere
    trial.width = stated
    if not stated < LARGEST_CHANGE:
        trial.troubles.append(f"movements state a change of {stated:.2g} of themselves")
    makers = (mirrored, walked_back, in_metres)
    _hold_image(trial, found, makers[int(rng.integers(3))](case), stated)
    _hold_image(trial, found, cut_up(case, rng), stated)
    if case.curved:
        _hold_image(trial, found, chained(case), stated, within=CHAIN, more=_longer(case))
    elif rng.random() < 0.5:
        _hold_image(trial, found, bent_slightly(case), stated)
    hold_superposition(trial, found, stated)
    if rng.random() < 0.3:
        hold_frequencies(trial, found)
    if not case.imposed:  # what is stiffer is strained more where it is held than forced
        _hold_stiffened(trial, found, rng, stated)
    if len(case.supports) == 1 and not case.restraints:
        _hold_statics(trial, found, rng)
    _hold_known(trial, found)
    if case.torque is not None:
        _hold_torsion(trial, found)
    if case.known:  # plain bars: slender, between forks
        constants = found.sections["section 0"].constants
        least = min(constants.second_moment_x, constants.second_moment_y)
        hold_euler(trial, case, constants.elastic_modulus * least)


def _hold_torsion(trial: Trial, found: SolvedMember) -> None:
    """Warping torsion of one span, by the constants of its section."""
    trial.held.append("warping torsion")
    torque, c = found.case.torque, found.deforming.column(ALL)
    assert torque is not None
    z = [torque.at]
    exact = twist(found.sections["section 0"].constants, found.case.length, torque, torque.at)
    size = abs(exact) or 1.0
    for theory, value, within in (
        ("classical", found.classical.at(z).phi[0, c], TORSION),
        ("deforming", found.deforming.twist(z)[0, c], TORSION_DEFORMING),
    ):
        if not abs(value - exact) <= within * size:
            trial.troubles.append(f"{theory}: twist is {value:.8g}, by the formula {exact:.8g}")


def _hold_balance(trial: Trial, found: SolvedMember) -> None:
    trial.held.append("equilibrium")
    for one in reactions_of(found.classical, found.deforming):
        miss = float(one.miss.max())
        if not miss < BALANCE:
            trial.troubles.append(f"{one.theory}: loads and reactions miss by {miss:.1e}")


def _hold_reciprocity(trial: Trial, found: SolvedMember) -> None:
    """Either unit force works as much on the movement by the other."""
    trial.held.append("reciprocity")
    (one, way), (other, its) = found.case.forces
    for words, moved in (("deforming", found.moved), ("classical", found.shifted)):
        cross = (moved([one], OTHER)[0, way], moved([other], ONE)[0, its])
        own = np.sqrt(abs(moved([one], ONE)[0, way] * moved([other], OTHER)[0, its]))
        if not abs(cross[0] - cross[1]) <= RECIPROCITY * own:
            trial.troubles.append(
                f"{words}: two unit forces move each other by {cross[0]:.9g} and {cross[1]:.9g}, "
                f"themselves by {own:.3g}"
            )


def _hold_image(
    trial: Trial,
    found: SolvedMember,
    image: Image,
    stated: float,
    within: float = IMAGE,
    more: float = 0.0,
) -> None:
    """Movements of both; `more` is what sections that deform may part besides."""
    trial.held.append(image.words)
    other = solved(image.case)
    points = found.case.points
    there = [image.place(p) for p in points]
    along = any(s.z == "held" for s in found.case.supports)
    pairs = (
        (
            "deforming",
            found.moved(points),
            other.moved(there) * image.back,
            max(within, 2 * stated) + more,
        ),
        (
            "classical",
            found.shifted(points),
            other.shifted(there) * image.back[:2],
            max(within, CLASSICAL_IMAGE),
        ),
    )
    for theory, here, moved, share in pairs:
        count = 3 if along and theory == "deforming" else 2
        off, size = _parted(here[:, :count], moved[:, :count])
        if not off <= share * size:
            trial.troubles.append(
                f"{theory}: {image.words} it moves otherwise by {off / size:.2e} of {size:.3g}, "
                f"stated {stated:.1e}"
            )


def _longer(case: MemberCase) -> float:
    """How much softer or stiffer a chain may be than its arcs, where sections deform: pieces end
    square, so that a fibre at x from the axis is 1 / (1 - x / R) times as long as along the arc,
    and its energy of the same motion as many times as large."""
    tightest = max(max(abs(first), abs(last)) for _, first, last in case.pieces)
    reach = max(abs(x) for section in case.sections for x in section.bounds()[::2])
    return tightest * reach / (1 - tightest * reach)


def _parted(one: Array, other: Array) -> tuple[float, float]:
    """Largest difference, and largest movement."""
    return float(np.abs(one - other).max()), float(np.abs(one).max())


def _hold_stiffened(
    trial: Trial, found: SolvedMember, rng: np.random.Generator, stated: float
) -> None:
    """A diaphragm or a spring more: the loads work no more than before."""
    trial.held.append("stiffened")
    case = found.case
    z = float(rng.uniform(0.2, 0.8)) * case.length
    size = case.sections[0].size()
    soft = 0.05 * 210_000.0 * size
    kind = int(rng.integers(3))
    if kind == 0:
        more = replace(case, diaphragms=(*case.diaphragms, Diaphragm(z)))
    elif kind == 1:
        spring = TwistSpring(z, soft * size**2)
        more = replace(case, restraints=(*case.restraints, spring))
    else:
        across = LateralSpring(z, soft, level=case.points[0][1])
        more = replace(case, restraints=(*case.restraints, across))
    stiffer = solved(replace(more, forces=()))
    before, after = (
        float(work_of(one.deforming)[one.deforming.column(ALL)]) for one in (found, stiffer)
    )
    if not after <= before * (1 + max(STIFFER, stated)):
        words = ("a rigid diaphragm", "a spring against twist", "a spring sideways")[kind]
        trial.troubles.append(f"with {words} the loads work {after:.6g}, without {before:.6g}")


def _hold_statics(trial: Trial, found: SolvedMember, rng: np.random.Generator) -> None:
    """A cantilever's stress resultants follow from statics, whatever deforms; away from loads."""
    trial.held.append("statics")
    case, c = found.case, found.deforming.column(ALL)
    disturbed = [0.0, *(s.start for s in case.stretches), *(d.at for d in case.diaphragms)]
    for load in case.loads:
        disturbed += [load.at] if hasattr(load, "at") else [load.start, load.end]
    z = np.sort(rng.uniform(0.05, 0.95, 40) * case.length)
    far = np.abs(z[:, None] - disturbed).min(axis=1) > 0.03 * case.length
    if not far.any():
        return
    z = z[far]
    own, statics = found.deforming.resultants(z), found.classical.at(z)
    for words in (("N", "V_x", "V_y"), ("M_x", "M_y", "T")):
        pairs = [(getattr(own, w)[:, c], getattr(statics, w)[:, c]) for w in words]
        size = max(float(np.abs(b).max()) for _, b in pairs)
        for word, (a, b) in zip(words, pairs, strict=True):
            off = float(np.abs(a - b).max())
            if not off <= STATICS * size:
                trial.troubles.append(f"{word} is off statics by {off / size:.2e} of the largest")


def _hold_known(trial: Trial, found: SolvedMember) -> None:
    case, c = found.case, found.deforming.column(ALL)
    for known in case.known:
        trial.held.append("closed form")
        x, y, z = known.place
        value = known.value
        if known.what == "twist":
            pair = (found.deforming.twist([z])[0, c], found.classical.at([z]).phi[0, c])
            value *= warped_share(found.sections["section 0"].constants, case.length, z)
        else:
            pair = (
                found.deforming.movement((x, y), [z])[1][0, c],
                found.shifted([known.place])[0, 1],
            )
        for theory, ours in zip(("deforming", "classical"), pair, strict=True):
            if not abs(ours - value) <= known.within * abs(value):
                trial.troubles.append(
                    f"{theory}: {known.what} is {ours:.6g}, by the formula {value:.6g}"
                )
    if case.alike is not None:
        trial.held.append("the other theory")
        off, size = _parted(found.moved(case.points)[:, :2], found.shifted(case.points))
        if not off <= case.alike * size:
            trial.troubles.append(f"the theories part by {off / size:.2e} of {size:.3g}")
