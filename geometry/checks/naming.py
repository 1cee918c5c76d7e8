"""How messages name the parts of a section."""

from __future__ import annotations

from ..section import Section


def region_name(section: Section, region: int) -> str:
    """ "the section" when it has one region, else "region 'web'" or "region 2"."""
    if len(section.regions) == 1:
        return "the section"
    name = section.regions[region].name
    return f"region {name!r}" if name else f"region {region + 1}"


def contour_name(section: Section, region: int, contour: int) -> str:
    """A contour in words: 0 is the outline, k the hole k; with its region when there are
    several."""
    word = f"hole {contour}" if contour else "outline"
    if len(section.regions) == 1:
        return word if contour else "the outline"
    owner = region_name(section, region)
    return f"{word} of {owner}" if contour else f"the outline of {owner}"


def slit_name(section: Section, slit: int) -> str:
    """ "slit 'weld gap'" or "slit 2"."""
    name = section.slits[slit].name
    return f"slit {name!r}" if name else f"slit {slit + 1}"
