"""Tables of a member file that combine and judge: combinations, limits, codes, welds, stages."""

from __future__ import annotations

from .description import Key, Table
from .holding_keys import NAME

_COMBINATIONS = Key("combinations", "list", "the combinations it holds for", "all", '["service"]')
_COMBINATION = Table(
    "combination",
    "list",
    "load cases that act together; without any, every case is solved by itself",
    (
        Key("name", "text", "of the combination", needed=True, example='"strength"'),
        Key("factors", "table", "factors by load case, vehicle or crowd",
            example="{ dead = 1.35, cladding = 1.5 }"),
        Key("patterns", "table", "factors of cases with by_span: all, odd, even, adjoining spans",
            example="{ crowd = 1.5 }"),
    ),
)  # fmt: skip
#: Kinds of actions of the standards, as `solver.rules.action_kind` has them.
KINDS = (
    "permanent", "prestress", "settlement", "traffic", "concentrated", "vehicle", "footway", "wind",
    "temperature", "snow", "construction", "imposed A", "imposed B", "imposed C", "imposed D",
    "imposed E", "imposed F", "imposed G", "roof", "live", "roof live", "earthquake",
)  # fmt: skip
_CASE = Table(
    "case",
    "list",
    "what kind a load case is, for [[combination_set]]",
    (
        Key("name", "text", "a load case, a vehicle or a crowd", needed=True, example='"dead"'),
        Key("kind", "choice", "its kind", needed=True, choices=KINDS),
        Key("reverses", "true or false", "whether it acts with either sign", "false"),
        Key("not_with", "list", "cases that it never acts with", example='["crowd"]'),
        Key("psi", "list", "psi_0, psi_1, psi_2", "the standard's", "[0.3, 0.2, 0]"),
        Key("gamma", "list", "factors, unfavourable and favourable", "the standard's", "[1.5, 0]"),
    ),
)  # fmt: skip
_COMBINATION_SET = Table(
    "combination_set",
    "list",
    "combinations in the form of a standard, from memory",
    (
        Key("code", "choice", "which standard", needed=True,
            choices=("EN 1990", "ASCE 7-16", "ASCE 7-22", "ASCE 7-16 allowable stress")),
        Key("name", "text", "what its combinations are called after"),
        Key("structure", "choice", "whose factors, of EN 1990",
            choices=("building", "footbridge", "road bridge")),
        Key("states", "list", "which of 6.10, 6.10a/b, characteristic, frequent, quasi-permanent",
            "all but 6.10a/b", '["6.10", "characteristic"]'),
    ),
)  # fmt: skip
_LIMIT = Table(
    "limit",
    "list",
    "a limit; each has one of twist, deflection, stress, first_frequency, critical_factor",
    (
        NAME, _COMBINATIONS,
        Key("stages", "list", "stages of building it holds after", "each", '["erection"]'),
        Key("added", "true or false", "of movement: what the stage adds alone", "false"),
        Key("twist", "anything", 'an angle, or "customary"', example='"2 deg"'),
        Key("deflection", "anything", 'a length, "span/600", both, or "masonry"',
            example='"span/600"'),
        Key("point", "point", "whose deflection is meant", "the shear centre", '"bracket tip"'),
        Key("direction", "choice", "of the deflection", "y", choices=("x", "y")),
        Key("stress", "anything", 'a stress, or "strength": that of every material',
            example='"160 MPa"'),
        Key("factor", "number", "on the stress", "1", "1.1"),
        Key("component", "choice", "of the stress", "von Mises",
            choices=("von Mises", "shear", "tension", "compression")),
        Key("first_frequency", "text", "natural frequency at least", example='"3 Hz"'),
        Key("motion", "text", "of the first mode of this motion", "any", '"vertical"'),
        Key("critical_factor", "number", "elastic critical load factor at least", example="10"),
    ),
)  # fmt: skip
_CODE = Table(
    "code",
    "list",
    "a design code whose rules for torsion are applied, as an aid",
    (
        Key("family", "choice", "which code", needed=True,
            choices=("EN 1993", "AISC 360", "EN 1992-1-1")),
        _COMBINATIONS,
        *(Key(name, "number", f"partial factor {name}", default) for name, default in (
            ("gamma_M0", "1"), ("gamma_M1", "1"))),
        Key("C_mz", "number", "factor of equivalent moment about the weak axis", "1"),
        Key("made", "choice", "how the section is made", "welded", choices=("welded", "rolled")),
        Key("design", "choice", "by load and resistance factors, or allowable strength", "LRFD",
            choices=("LRFD", "ASD")),
        Key("f_ck", "stress", "strength of the concrete", example='"30 MPa"'),
        Key("f_yk", "stress", "strength of the bars", "500 MPa", '"500 MPa"'),
        Key("edge_to_bar", "length", "from the edge to the middle of the bars", example='"50 mm"'),
        Key("cot_theta", "number", "of the inclination of the struts", "1"),
        *(Key(name, "number", f"factor {name}", default) for name, default in (
            ("gamma_C", "1.5"), ("gamma_S", "1.15"), ("alpha_cc", "1"))),
        Key("d", "length", "effective depth", example='"550 mm"'),
        Key("b_w", "length", "width of the web", example='"300 mm"'),
        Key("links", "length", "provided: area of a leg over the spacing", example='"0.8 mm"'),
        Key("bars", "area", "provided: bars for torsion", example='"1200 mm^2"'),
    ),
)  # fmt: skip
_WELDS = Table(
    "welds",
    "single",
    "for the use of welds along the member, and what they need",
    (
        Key("strength", "stress", "design shear strength of the throat", needed=True,
            example='"208 MPa"'),
        Key("pitch", "length", "of intermittent welds", example='"200 mm"'),
    ),
)  # fmt: skip
_STAGE = Table(
    "stage",
    "list",
    "a stage of building, in order",
    (
        Key("name", "text", "of the stage", needed=True, example='"erection"'),
        Key("cases", "list", "load cases applied now, which stay", "those no stage names, in the "
            "last", '["wet concrete"]'),
        Key("without", "list", "supports and springs that are not there", "none", '["prop"]'),
        Key("sections", "table", "what stands in place of a segment's section",
            example='{ composite = "girder alone" }'),
    ),
)  # fmt: skip
JUDGING = (_COMBINATION, _CASE, _COMBINATION_SET, _LIMIT, _CODE, _WELDS, _STAGE)
