"""A section from plates and welds: what touches is separated unless a weld joins it."""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import GeometryError
from ..section import Region, Section, Slit
from .ends import fitted_strips
from .join import JoinedBorder, joined
from .path import Path
from .plate import Plate
from .shared_border import Borders, SharedBorder, region_contacts
from .throats import chained
from .weld import Weld


def assemble(
    plates: Sequence[Plate],
    welds: Sequence[Weld] = (),
    *,
    parts: Sequence[Region] = (),
    name: str = "built-up section",
    unit: str = "",
) -> Section:
    """The section of plates joined by welds.

    Every contact between two plates is a slit of zero width except where a weld joins it: a full
    penetration joins all of it, a partial one its depth from the contact's ends, and a fillet adds
    a triangle beside it that is bonded to both plates. Each weld's throat becomes a `JointLine`.

    Parameters
    ----------
    plates : sequence of Plate
        The order matters where ends meet: at a lapped corner the earlier plate runs through.
    welds : sequence of Weld
    parts : sequence of Region
        Other parts that plates touch and welds may name, as rolled shapes. Beside each other they
        stay bonded; plates are not shaped to them.
    name, unit : str

    Returns
    -------
    Section
        Regions: the parts, the plates, then the fillets, each under its own name. Notes say how
        ends were shaped, which contacts are unwelded, and what intermittent welds are taken for.

    Raises
    ------
    GeometryError
        For unknown or repeated names, overlapping plates, plates that do not touch where welded, a
        fillet without a corner, or a depth beyond the contact.

    Examples
    --------
    >>> flange = Plate("flange", ((-50, 0), (50, 0)), 10)
    >>> web = Plate("web", ((0, 0), (0, -120)), 8)
    >>> tee = assemble([flange, web], [Weld("root", ("flange", "web"), leg=5)], unit="mm")
    >>> [region.name for region in tee.regions]
    ['flange', 'web', 'root 1', 'root 2']
    >>> len(tee.slits), [joint.name for joint in tee.joints]
    (1, ['root 1', 'root 2'])
    """
    _check_names(plates, welds, parts)
    strips, notes = fitted_strips(plates)
    regions, count = list(parts), len(parts)
    for plate, strip in zip(plates, strips, strict=True):
        outline, *holes = strip.contours()
        regions.append(Region(outline, tuple(holes), plate.material, plate.name))
    seats = [JoinedBorder(c) for c in region_contacts(regions) if c.second >= count]
    seats += [
        JoinedBorder(SharedBorder(count + i, count + i, strip.seam_line()))
        for i, strip in enumerate(strips)
        if strip.seam
    ]
    index = {region.name: i for i, region in enumerate(regions)}
    fillets, joints, owners = [], [], []
    for weld in welds:
        pair = (index[weld.between[0]], index[weld.between[1]])
        made, lines = joined(weld, pair, seats, regions)
        fillets += made
        joints += lines
        owners += [set(pair)] * len(made)
    slits = [_slit(seat.contact, path, regions) for seat in seats for path in seat.parted()]
    slits += _strays(regions, fillets, owners)
    notes += [
        f"{slit.name}: separated over {_length(slit):.6g}{' ' + unit if unit else ''}"
        for slit in slits
    ]
    notes += [
        f"weld {weld.name!r} is intermittent and solved as if it ran on; each weld carries flow "
        "times pitch, with an even flow over the pitch; the stiffness found is an upper limit"
        for weld in welds
        if weld.pitch is not None
    ]
    throats = chained(joints, Borders.of(regions).tolerance)
    return Section((*regions, *fillets), name, unit, tuple(slits), tuple(notes), throats)


def _check_names(plates: Sequence[Plate], welds: Sequence[Weld], parts: Sequence[Region]) -> None:
    if not plates:
        raise GeometryError("there is no plate; give at least one")
    known = [part.name for part in parts] + [plate.name for plate in plates]
    called = [weld.name for weld in welds]
    named = {name for weld in welds for name in weld.between} | {p.name for p in plates}
    for kind, names in (("part", [n for n in known if n in named]), ("weld", called)):
        twice = [name for name in names if names.count(name) > 1]
        if twice:
            raise GeometryError(f"two {kind}s are called {twice[0]!r}; give each its own name")
    for weld in welds:
        for name in weld.between:
            if name not in known:
                raise GeometryError(
                    f"weld {weld.name!r} joins {name!r}, which is no plate; "
                    f"there are {', '.join(filter(None, known))}"
                )


def _slit(contact: SharedBorder, path: Path, regions: Sequence[Region]) -> Slit:
    if contact.first == contact.second:
        name = f"seam of {regions[contact.first].name!r}"
    else:
        name = f"contact of {regions[contact.first].name!r} and {regions[contact.second].name!r}"
    return Slit(
        tuple((float(x), float(y)) for x, y in path.points),
        tuple(float(b) for b in path.bulges),
        name,
    )


def _length(slit: Slit) -> float:
    return Path(slit.points, slit.bulges).length


def _strays(plates: list[Region], fillets: list[Region], owners: list[set[int]]) -> list[Slit]:
    """Slits where a fillet touches a plate it does not join; an error where it overlaps one."""
    everything = [*plates, *fillets]
    slits = []
    for contact in region_contacts(everything) if fillets else ():
        k = contact.second - len(plates)
        if contact.first < len(plates) <= contact.second and contact.first not in owners[k]:
            slits.append(_slit(contact, contact.path, everything))
    return slits
