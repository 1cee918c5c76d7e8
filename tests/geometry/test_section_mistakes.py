"""Mistakes in section files: each is told with its entry and key, in one line."""

from __future__ import annotations

import pytest
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import FileFormatError, GeometryError, InputError, UnitError
from soapfilm.geometry.section_file import section_from_toml

from .test_section_file import CONCRETE, I300, MM, SQUARE, STEEL, rectangle


@pytest.mark.parametrize(
    ("text", "error", "message"),
    [
        # the file as a whole
        (SQUARE, UnitError, "unit is missing; state the length unit at the top, like unit = "),
        ("unit = 5\n" + SQUARE, UnitError, 'unit must be a text like "mm", got 5'),
        ('unit = "yd"\n' + SQUARE, UnitError, "length unit 'yd' is not known; use one of mm, cm"),
        (MM, InputError, "there is no part; write [[shape]]"),
        (MM + "outline = []", InputError, "there is no part"),
        (MM + "[outline]\npoints = []", InputError, "double brackets, [[outline]]"),
        (MM + "shape = 5", InputError, "double brackets, [[shape]]"),
        (MM + "[[shapes]]\n", InputError, "'shapes' is not known here; did you mean shape?"),
        (MM + "zzz = 1\n" + SQUARE, InputError, "'zzz' is not known here; a section file has name"),
        ("name = 5\n" + MM + SQUARE, InputError, "name must be a text in quotes"),
        ("unit = \n", FileFormatError, "not valid TOML: "),
        ("a = " + "[" * 5000, FileFormatError, "nested too deep"),
        ("a = " + "9" * 5000, FileFormatError, "not valid TOML: "),
        (
            MM + 'shape = [{profile = "Circle", Radius = 5}]\n' + SQUARE,
            InputError,
            "the order of shape and outline cannot be told; write each part under its own",
        ),
        # keys
        (
            MM + rectangle(5, 5, "XDin = 3"),
            InputError,
            "'XDin' is not a key of shape; did you mean XD",
        ),
        (MM + rectangle(5, 5, "qqq = 3"), InputError, "'qqq' is not a key of shape; the keys here"),
        (
            MM + SQUARE + "hole = []",
            InputError,
            "outline 1: 'hole' is not a key of outline; did you",
        ),
        (MM + "[[shape]]\n", InputError, 'shape 1: profile is missing; write profile = "I" (or'),
        (
            MM + '[[shape]]\nprofle = "I"',
            InputError,
            "profile is missing; is 'profle' a slip for it?",
        ),
        (MM + '[[shape]]\nprofile = ""', InputError, "shape 1: profile is empty"),
        (MM + "[[shape]]\nprofile = 5", InputError, "shape 1: profile must be a text in quotes"),
        (
            MM + '[[shape]]\nprofile = "Trapez"',
            InputError,
            "'Trapez' is not known; use for example T",
        ),
        (
            MM + '[[shape]]\nname = "lower flange"\nprofile = "Rectangle"\nXDim = 5\n',
            InputError,
            "shape 1 'lower flange': Rectangle needs YDim",
        ),
        (
            MM + '[[shape]]\nshape = "W10X48"',
            InputError,
            "shape 1: shape 'W10X48' is not in the cata",
        ),
        (
            MM + '[[shape]]\nshape = "W10X49"\nOverallWidth = 5',
            InputError,
            "'OverallWidth' is not a key of shape",
        ),
        (
            MM + "[[outline]]\nname = 'a'",
            InputError,
            "outline 1 'a': points is missing; write points",
        ),
        # values
        (MM + rectangle(5, '"5 kN"'), UnitError, "shape 1: YDim: '5 kN' is not a length"),
        (
            MM + rectangle(5, '"five"'),
            UnitError,
            "shape 1: YDim: 'five' is not a number with a unit",
        ),
        (MM + rectangle(5, "true"), UnitError, "shape 1: YDim: 'True' is not a number"),
        (MM + rectangle(5, "[1]"), UnitError, "shape 1: YDim: '[1]' is not a number"),
        (MM + rectangle(5, -5), GeometryError, "shape 1: YDim -5 mm must be a positive number"),
        (MM + rectangle(5, "nan"), InputError, "shape 1: YDim: nan is no usable length"),
        (
            MM + rectangle(5, "1e13"),
            InputError,
            "YDim: 10000000000000.0 is no usable length; up to",
        ),
        (MM + rectangle(5, "0x" + "f" * 9000), InputError, "YDim: a number of thousands of digits"),
        (
            MM + I300 + "FlangeEdgeRadius = 20\n",
            GeometryError,
            "shape 1: FlangeEdgeRadius 20 mm does not fit: at most 10.7 mm on the flange's edge",
        ),
        (MM + I300 + 'FlangeSlope = "5 mm"\n', UnitError, "FlangeSlope: '5 mm' is not an angle"),
        # placement
        (MM + rectangle(5, 5, 'mirror = "z"'), InputError, 'mirror is one of "x", "y", got \'z\''),
        (MM + rectangle(5, 5, "move = 5"), InputError, "shape 1: move must be [x, y], got 5"),
        (
            MM + rectangle(5, 5, "move = [1, 2, 3]"),
            InputError,
            "move must be [x, y], got [1, 2, 3]",
        ),
        (MM + rectangle(5, 5, "move = [1, inf]"), InputError, "move y: inf is no usable length"),
        (MM + rectangle(5, 5, 'rotate = "5 mm"'), UnitError, "shape 1: rotate: '5 mm' is not an"),
        (MM + rectangle(5, 5, "rotate = nan"), UnitError, "rotate: 'nan' is not a finite number"),
        # combination
        (MM + rectangle(5, 5, 'combine = "ad"'), InputError, "got 'ad'; did you mean 'add'?"),
        (
            MM + rectangle(5, 5, 'combine = "cut"'),
            InputError,
            'shape 1: combine = "cut" has nothing',
        ),
        (
            MM + rectangle(5, 5) + rectangle(1, 1, 'combine = "cut"\nmove = [9, 9]'),
            GeometryError,
            "shape 2: cuts nothing: it overlaps no part before it",
        ),
        (
            MM + rectangle(5, 5) + rectangle(6, 6, 'combine = "cut"'),
            GeometryError,
            "shape 2: cuts everything away",
        ),
        (
            MM + rectangle(5, 5) + '[[outline]]\nname = "x"\npoints = [[0,0],[9,9],[9,0],[0,9]]\n',
            GeometryError,
            "outline 1 'x': the outline crosses itself near (4.5, 4.5) mm",
        ),
        # outlines
        (MM + "[[outline]]\npoints = 5", InputError, "outline 1: points must be a list of [x, y]"),
        (MM + "[[outline]]\npoints = []", InputError, "outline 1: points must be a list of [x, y]"),
        (
            MM + "[[outline]]\npoints = [[0, 0], 5]",
            InputError,
            "points: vertex 2 must be [x, y] or",
        ),
        (
            MM + "[[outline]]\npoints = [[0, 0], [1]]",
            InputError,
            "points: vertex 2 must be [x, y] or",
        ),
        (
            MM + "[[outline]]\npoints = [[0, 0], [1, 'a']]",
            UnitError,
            "vertex 2: 'a' is not a number",
        ),
        (MM + "[[outline]]\npoints = [[0, 0], [1, nan]]", InputError, "vertex 2: nan is no usable"),
        (
            MM + "[[outline]]\npoints = [[0, 0], [1, 0]]",
            GeometryError,
            "points: a contour needs three",
        ),
        (MM + "[[outline]]\npoints = [[0, 0], [1, 0, 1e9]]", InputError, "bulge 1e+09 is no arc"),
        (MM + "[[outline]]\npoints = [[0, 0], [1, 0, nan]]", InputError, "bulge nan is no arc"),
        (
            MM + "[[outline]]\npoints = [[0, 0], [1, 0, 'a']]",
            InputError,
            "vertex 2: bulge must be a p",
        ),
        (MM + SQUARE + "holes = 5", InputError, "outline 1: holes is a list of holes"),
        (MM + SQUARE + "holes = [[1, 1], [2, 2]]", InputError, "hole 1: vertex 1 must be [x, y]"),
        (MM + SQUARE + "arcs_within = 0", GeometryError, "the deviation must be a positive length"),
        # materials
        ("material = 5\n" + MM + SQUARE, InputError, "materials are tables of their own"),
        (
            MM + "[material]\nsteel = 5\n" + SQUARE,
            InputError,
            "material 'steel': write [material.st",
        ),
        (
            MM + "[material.a]\n" + SQUARE,
            InputError,
            "material 'a': E is missing; write E = \"210 GPa\"",
        ),
        (MM + "[material.a]\nE = 210000\n" + SQUARE, UnitError, "E: '210000' has no unit"),
        (MM + '[material.a]\nE = "2 mm"\n' + SQUARE, UnitError, "E: '2 mm' is not a stress"),
        (MM + '[material.a]\nE = "2 GPa"\n' + SQUARE, InputError, "'a': nu or G is missing"),
        (
            MM + '[material.a]\nE = "2 GPa"\nnu = 0.6\n' + SQUARE,
            InputError,
            "Poisson's ratio lies in",
        ),
        (
            MM + '[material.a]\nE = "2 GPa"\nnu = "x"\n' + SQUARE,
            InputError,
            "nu must be a plain number",
        ),
        (
            MM + '[material.a]\nE = "-2 GPa"\nnu = 0.3\n' + SQUARE,
            InputError,
            "elastic_modulus must be",
        ),
        (
            MM + '[material.a]\nE = "2 GPa"\nG = "0 GPa"\n' + SQUARE,
            InputError,
            "shear_modulus must be",
        ),
        (
            MM + '[material.a]\nE = "11 GPa"\nG = "690 MPa"\n' + SQUARE,
            InputError,
            "E / (2 G) - 1 = 6.97 is no Poisson's ratio of an isotropic material; give nu as well",
        ),
        (
            MM + STEEL + "rho = 3\n" + SQUARE,
            InputError,
            "material 'steel': 'rho' is not a key of mat",
        ),
        (
            MM + STEEL + SQUARE + "material = 'stel'",
            InputError,
            "'stel' is not defined; did you mean",
        ),
        (
            MM + SQUARE + "material = 'stel'",
            InputError,
            "'stel' is not defined; the file defines none",
        ),
        (
            MM + STEEL + CONCRETE + SQUARE,
            InputError,
            "outline 1: material is missing; the file defines steel, concrete",
        ),
    ],
)
def test_mistakes(text: str, error: type[Exception], message: str) -> None:
    with pytest.raises(error) as caught:
        section_from_toml(text)
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


def test_parts_that_do_not_meet_are_for_validation() -> None:
    section = section_from_toml(MM + rectangle(5, 5) + rectangle(5, 5, "move = [20, 0]"))
    with pytest.raises(GeometryError, match="not joined"):
        check(section)
