"""Unconnected parts, in contact only: they touch along slits, and nothing joins them."""

from __future__ import annotations

from dataclasses import replace

from ..section import Section
from .components import separate_bodies
from .validate import check


def contact_only_parts(section: Section) -> tuple[Section, ...]:
    """The bodies of a section whose parts touch everywhere but are not all joined.

    Parameters
    ----------
    section : Section

    Returns
    -------
    tuple of Section
        One for each body that is in one piece (see `components.separate_bodies`); the section
        itself where it has one, or where its parts do not even touch (`validate.check` tells).

    Raises
    ------
    GeometryError
        If parts overlap, or a slit leaves the material.
    """
    if not section.slits or len(section.regions) == 1:
        return (section,)
    bodies = separate_bodies(section)
    whole = replace(section, slits=(), joints=())
    if len(bodies) == 1 or len(separate_bodies(whole)) > 1:
        return (section,)
    check(whole)  # the bodies beside each other: a check of each alone would miss an overlap
    return bodies
