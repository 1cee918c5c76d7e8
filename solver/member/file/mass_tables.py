"""Masses of a member file, which vibrate with the member and are no load.

::

    [[mass]]
    at = "middle"                  # or a list, or every = "5 m" with from and to
    mass = "250 kg"
    place = "bracket tip"          # a point, or [x, y]; the shear centre when left out
    eccentricity = [80, 0]         # from the place
    rotary_inertia = "40 kg*m^2"   # optional: about its own centre, for rotation about z

The mass of the member itself follows from the densities of its materials, times the factor of
[self_weight]; loads vibrate with the share that their key as_mass states.
"""

from __future__ import annotations

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.load import Place
from ..model.mass import PointMass
from .positions import Along, Points


def masses_of(entry: Entry, along: Along, points: Points) -> list[PointMass]:
    """The masses of one table."""
    if entry.has("every") == entry.has("at"):
        raise InputError('give either at = "middle" (or a list) or every = "5 m"')
    stations = along.row(entry) if entry.has("every") else along.positions(entry)
    entry.plain("span")
    entry.need("mass", '"250 kg"')
    mass = entry.quantity("mass", "mass")
    own = entry.quantity("rotary_inertia", "rotary inertia") or 0.0
    placed = entry.has("place") or entry.has("eccentricity")
    place = points.load_place(entry) if placed else Place()
    name = entry.text("name", "mass")
    entry.close()
    assert mass is not None
    titles = [f"{name} at {along.shown(z)}" for z in stations]
    if len(stations) == 1 and name != "mass":
        titles = [name]
    return [PointMass(z, mass, place, own, t) for z, t in zip(stations, titles, strict=True)]
