"""Mistakes in member files: each is told with its table and key, in one line."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.file import member_from_toml

from .test_member_file import FIGURES, FORKS, LOAD, read


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[suport]]\nat = 0\n", "'suport' is not known here; did you mean support?"),
        ("[support]\nat = 0\n", "support: write it as a table in double brackets, [[support]]"),
        ("[[self_weight]]\n", "self_weight: write it as a table, [self_weight]"),
        (
            '[[support]]\nat = 0\nlevel = "bottom"\nbearings = [{ x = 0 }]\n',
            'level belongs to kind = "bearing pair"',
        ),
        ("[[support]]\nat = 0\nkidn = 'fork'\n", "support 1: 'kidn' is not a key of support; did"),
        ("[[support]]\nat = 0\nkind = 'forks'\n", "kind is one of"),
        ("[[support]]\nat = 0\nkind = 'bearing'\n", "list it as bearings = "),
        ("[[support]]\nkind = 'fork'\n", "support 1: at is missing"),
        ("[[support]]\nat = []\n", "at is an empty list"),
        ("[[support]]\nat = 0\ntwist = 900\n", "support 1: twist: '900' has no unit"),
        ("[[support]]\nat = 0\ntwist = 'hold'\n", 'twist is "free", "held" or a stiffness'),
        ("[[support]]\nat = 0\ntwist = true\n", 'twist is "free", "held" or a stiffness'),
        ("[[support]]\nat = 0\ny = '-5 kN/mm'\n", "y: a stiffness must not be negative"),
        ("[[support]]\nat = 0\nclearance = '1 mm'\n", "clearance_arm is missing"),
        ("[[support]]\nat = 0\ntwist_slip = '-1 deg'\n", "twist_slip must be an angle of zero"),
        ("[[support]]\nat = 0\nlever_arm = 0\n", "lever_arm must be positive, got 0"),
        ("[[support]]\nat = 0\nkind = 'bearing pair'\n", "spacing is missing"),
        ("[[support]]\nat = 0\nbearings = [{ y = 3 }]\n", "support 1: bearing 1: x is missing"),
        ("[[support]]\nat = 'end of span 3'\n", "at: there is no span 3; the file has 1"),
        ("[[support]]\nat = '7 m'\n", "at: '7 m' lies outside the member, which runs from 0 to"),
        ("[[spring]]\nat = 0\n", 'give twist = "900 kN*m/rad", or x'),
        ("[[secondary_beam]]\nat = 0\nE = '1 GPa'\n", "secondary_beam 1: I is missing"),
        ("[[deck]]\ntwist = '5 kN*m'\n", "is not a rotational spring per length"),
        ("[[deck]]\nfrom = '3 m'\nto = '2 m'\ntwist = '5 kN'\n", "from must lie before to"),
        ("[[load]]\nat = 0\nweight = '1 kN'\n", "load 1: place is missing"),
        ("[[load]]\nat = 0\nplace = 'origin'\n", "load 1: it has no force"),
        ("[[load]]\nplace = 'origin'\n", "load 1: it has no force"),
        ("[[load]]\nat = 0\nweight = '-1 kN'\nplace = [0, 0]\n", "weight acts downward and is not"),
        ("[[load]]\nat = 0\nweight = '1 kN/m'\nplace = [0, 0]\n", "'1 kN/m' is not a force"),
        ("[[load]]\nat = 0\nq_y = '1 kN/m'\nplace = [0, 0]\n", "q_y belongs to a load along"),
        ("[[load]]\nF_y = '1 kN'\nplace = [0, 0]\n", "F_y belongs to a load at a station"),
        ("[[load]]\nweight = '1 kN/m'\nplace = 'tipp'\n", "there is no point 'tipp'; known are"),
        ("[[load]]\nweight = '1 kN/m'\nplace = 'centriod'\n", "did you mean 'centroid'?"),
        ("[[load]]\nat = 0\nevery = 5\nweight = '1 kN'\nplace = [0, 0]\n", "either at or every"),
        ("[[load]]\nevery = 0\nweight = '1 kN'\nplace = [0, 0]\n", "every must be a positive"),
        ("[[load]]\nevery = 1e-3\nweight = '1 kN'\nplace = [0, 0]\n", "every gives 6000001"),
        ("[[load]]\nweight = ['1 kN/m']\nplace = [0, 0]\n", "weight is one value, or ["),
        ("[[combination]]\nfactors = { load = 1 }\n", "combination 1: name is missing"),
        ("[[combination]]\nname = 'u'\n", "combination 1 'u': factors is missing"),
        ("[[combination]]\nname = 'u'\nfactors = { lod = 1 }\n", "did you mean 'load'?"),
        ("[[combination]]\nname = 'u'\npatterns = { load = 1 }\n", "no load of case 'load' has"),
        ("[[limit]]\n", "limit 1: give one of twist, deflection, stress, first_frequency and"),
        ("[[limit]]\ntwist = '-1 deg'\n", "twist must be positive"),
        ("[[limit]]\ntwist = 2\ncombinations = ['x']\n", "combinations: there is no 'x'"),
        ("[[limit]]\ndeflection = 'span/six'\n", "deflection: 'span/six' is not a number"),
        ("[[limit]]\nstress = 'strength'\ncomponent = 'shear'\n", "for shear give the allowed"),
        ("[[segment]]\nsection = 'tub'\n", "there is no section 'tub'; did you mean 'tube'?"),
        ("[[segment]]\nsection = 'tube'\nto = '2 m'\n", "the segments end at 2000 mm, the member"),
        ("[analysis]\norder = 'third'\n", "analysis: order is one of"),
        ("[analysis]\nstations = 5\n", "stations is a whole number from 20"),
        ("[analysis]\naccuracy = 2\n", "accuracy lies between"),
        ("[points]\ncentroid = [0, 0]\n", "every section has a 'centroid' already"),
        ("[remedy]\nsecondary_beam = 5\n", "remedy: secondary_beam is a table"),
    ],
)  # fmt: skip
def test_mistakes_name_the_table_and_the_key(text: str, says: str) -> None:
    parts = [FIGURES, LOAD, FORKS]
    for word, part in (("[[load]]", LOAD), ("[[support]]", FORKS), ("[support]", FORKS)):
        if text.startswith(word):
            parts.remove(part)
    with pytest.raises(InputError) as caught:
        read(*parts, text)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[span]]\nlength = 5\n", "unit is missing"),
        ('unit = "mm"\n', "there is no span"),
        (
            'unit = "mm"\n[[span]]\nlength = 5\n[[span]]\nlength = 1e-320\n',
            "span 2: its length, or a piece's of its plan, is lost beside the member's",
        ),
        (
            'unit = "mm"\n[[span]]\nplan = [{ straight = 5 }, { arc = 1e-12, radius = 9 }]\n',
            "span 1: its length, or a piece's of its plan, is lost",
        ),
        ('unit = "mm"\n[[span]]\n', "span 1: length is missing"),
        ('unit = "mm"\n[[span]]\nlength = -5\n', "span 1: length must be positive, got -5"),
        ('unit = "mm"\n[[span]]\nlength = 5\nradius = 0\n', "radius must not be 0"),
        ('unit = "mm"\n[[span]]\nplan = [{ arc = 5 }]\n', "plan: piece 1: radius is missing"),
        ('unit = "mm"\n[[span]]\nlength = 5\nplan = [{}]\n', "either plan, or length"),
        ('unit = "mm"\n[[span]]\nlength = 5\n', "there is no section"),
        ('unit = "mm"\n[[span]]\nlength = 5\n[section.a]\n', "section 'a': give its file"),
        (
            'unit = "mm"\n[[span]]\nlength = 5\n[section.a]\nE = "1 GPa"\n',
            "section 'a': G is missing",
        ),
        ('unit = "mm"\n[[shape]]\nprofile = "I"\n', "this is a section file"),
    ],
)
def test_what_every_member_needs(text: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        member_from_toml(text)
    assert says in str(caught.value)


# -- names a key had before -----------------------------------------------------------------------
@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[[stretch]]\nsection = "tube"\n', "'stretch' is called 'segment' now"),
        ("[[secondary]]\nat = 0\n", "'secondary' is called 'secondary_beam' now"),
        ("[cure]\n", "'cure' is called 'remedy' now"),
        ("[remedy]\nsecondary = 5\n", "remedy: 'secondary' is called 'secondary_beam' now"),
        (
            '[[spring]]\nat = "middle"\ntwist = "9 kN*m/rad"\nplay = "1 deg"\n',
            "spring 1: 'play' is called 'slip' now",
        ),
        ("[[support]]\nat = 0\ntwist_play = '1 deg'\n", "'twist_play' is called 'twist_slip' now"),
    ],
)
def test_a_former_key_is_answered_with_its_present_name(text: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read(FIGURES, FORKS, LOAD, text)
    assert says in str(caught.value)
