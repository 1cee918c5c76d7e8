"""Damaged, mutated and oversized files: always one of our errors, in good time, in one line."""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.drawings import SUFFIXES, read_drawing, write_drawing
from soapfilm.geometry.drawings import bounds as limits
from soapfilm.geometry.errors import FileFormatError, SoapfilmError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section, Slit

Make = Callable[..., Path]

#: More mutants on demand: SOAPFILM_MUTANTS=20000 pytest tests/drawings/test_hostile.py
MUTANTS = int(os.environ.get("SOAPFILM_MUTANTS", "120"))
SECONDS = 20.0

SECTION = Section(
    (
        Region(
            Contour([[0, 0], [100, 0], [100, 50], [0, 50]], [0, 0.4, 0, -0.2]),
            (Contour.circle((40, 25), 8),),
            name="web",
        ),
        Region(Contour([[100, 60], [120, 60], [120, 90]]), name="toe"),
    ),
    "seed",
    "mm",
    (Slit(((5.0, 5.0), (9.0, 5.0))),),
)
SVG = b"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">
<g id="web" transform="rotate(30 5 5) scale(2)"><path d="M0 0h10v10A3 4 0 0 1 5 9L0 10z"/>
<circle cx="5" cy="4" r="2"/></g><rect x="60" y="5" width="10" height="8" rx="2"/>
<polygon points="80,1 90,1 90,9"/><ellipse cx="80" cy="30" rx="4" ry="2"/>
<path d="M40 30 C 41 33 44 33 45 30 S 48 28 50 30 Q 52 47 40 45z"/></svg>"""
JSON = b"""{"type":"FeatureCollection","length_unit":"mm","features":[{"type":"Feature",
"properties":{"name":"a"},"geometry":{"type":"Polygon","coordinates":[[[0,0],[10,0],[10,10],[0,10],
[0,0]],[[2,2],[4,2],[4,4],[2,2]]]}},{"type":"Feature","properties":{},"geometry":{"type":
"MultiLineString","coordinates":[[[20,0],[30,0],[30,5]],[[30,5],[20,0]]]}}]}"""
IFC = b"""ISO-10303-21;
HEADER;FILE_SCHEMA(('IFC4'));ENDSEC;
DATA;
#1=IFCUNITASSIGNMENT((#2,#3));#2=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);
#3=IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.);
#30=IFCCOMPOSITEPROFILEDEF(.AREA.,'all',(#10,#5,#40),$);
#5=IFCISHAPEPROFILEDEF(.AREA.,'It''s; I',#8,150.,300.,7.1,10.7,15.,2.,0.1);
#9=IFCCARTESIANPOINT((500.,20.));#8=IFCAXIS2PLACEMENT2D(#9,#7);#7=IFCDIRECTION((0.,1.));
#10=IFCARBITRARYPROFILEDEFWITHVOIDS(.AREA.,'A',#11,(#12));
#11=IFCINDEXEDPOLYCURVE(#13,(IFCLINEINDEX((1,2)),IFCARCINDEX((2,3,4)),IFCLINEINDEX((4,5,1))),.F.);
#13=IFCCARTESIANPOINTLIST2D(((0.,0.),(100.,0.),(125.,25.),(100.,50.),(0.,50.)));
#12=IFCCIRCLE(#14,10.);#14=IFCAXIS2PLACEMENT2D(#15,$);#15=IFCCARTESIANPOINT((40.,25.));
#40=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,'A',#41);#41=IFCCOMPOSITECURVE((#42,#43),.F.);
#42=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.T.,#44);
#43=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.T.,#45);
#44=IFCTRIMMEDCURVE(#46,(IFCPARAMETERVALUE(0.)),(IFCPARAMETERVALUE(3.14159265)),.T.,.PARAMETER.);
#46=IFCELLIPSE(#47,10.,9.);#47=IFCAXIS2PLACEMENT2D(#48,$);#48=IFCCARTESIANPOINT((1000.,0.));
#45=IFCPOLYLINE((#20,#21));#20=IFCCARTESIANPOINT((990.,0.));#21=IFCCARTESIANPOINT((1010.,0.));
ENDSEC;
END-ISO-10303-21;
"""
ODD_NUMBERS = [
    b"0",
    b"-1",
    b"1e308",
    b"nan",
    b"inf",
    b"1e-300",
    b"9" * 25,
    b"",
    b"x",
    b"2",
    b"1e12",
]


def dxf_seed() -> bytes:
    """A DXF file of every kind of entity, without the long tables that a library writes."""
    import io

    import ezdxf

    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    space.add_line((0, 0), (100, 0))
    space.add_arc((100, 25), 25, 270, 90)
    space.add_line((100, 50), (0, 50))
    space.add_line((0, 50), (0, 0))
    space.add_lwpolyline([(10, 10, 0.3), (30, 10, 0), (20, 20, 0)], format="xyb", close=True)
    space.add_polyline2d([(60, 10), (70, 10), (70, 20)], close=True)
    space.add_ellipse((80, 25), (4, 0), 0.5)
    space.add_spline(degree=3).set_closed([(40, 30, 0), (50, 30, 0), (50, 40, 0), (40, 40, 0)])
    document.blocks.new("bar").add_circle((0, 0), 1)
    space.add_blockref("bar", (90, 40), dxfattribs={"xscale": 2})
    stream = io.StringIO()
    document.write(stream)
    whole = stream.getvalue()
    # Mutations shall meet entities: of the objects and classes nothing is needed.
    whole = re.sub(r"  0\nSECTION\n  2\n(CLASSES|OBJECTS)\n.*?  0\nENDSEC\n", "", whole, flags=re.S)
    return whole.encode()


SEEDS: dict[str, list[Callable[[], bytes]]] = {
    ".dxf": [dxf_seed, lambda: write_drawing(SECTION, "dxf")],
    ".svg": [lambda: SVG, lambda: write_drawing(SECTION, "svg")],
    ".geojson": [lambda: JSON],
    ".wkt": [
        lambda: shapely.MultiPolygon(
            [shapely.box(0, 0, 9, 9), shapely.box(10, 0, 12, 9)]
        ).wkt.encode()
    ],
    ".ifc": [lambda: IFC],
}


def attempt(path: Path, **how: Any) -> bool:
    """True when the file is read; False for one of our errors, in one line and in good time."""
    begin = time.perf_counter()
    try:
        section = read_drawing(path, **how)
    except SoapfilmError as error:
        message = str(error)
        assert 10 < len(message) < 1200
        assert "\n" not in message
        return False
    finally:
        assert time.perf_counter() - begin < SECONDS
    assert all(r.area() > 0 for r in section.regions)
    return True


def mutated(data: bytes, rng: random.Random) -> bytes:
    """The data with a few bytes, numbers, words or lines changed, dropped, repeated or cut off."""
    out = bytearray(data)
    for _ in range(rng.choice([1, 1, 1, 2, 3, 8])):
        n = len(out)
        if n < 4:
            break
        i, how = rng.randrange(n), rng.randrange(7)
        if how == 0:
            out[i] = rng.randrange(256)
        elif how == 1:
            del out[i : i + rng.randrange(1, 30)]
        elif how == 2:
            j = rng.randrange(n)
            out[i:i] = out[j : j + rng.randrange(1, 60)]
        elif how == 3:
            _swap(out, rb"-?\d+\.?\d*", rng, ODD_NUMBERS)
        elif how == 4:
            _swap(out, rb"[^\n]*\n", rng, None)
        elif how == 5:
            _swap(out, rb"[A-Za-z]+", rng, None)
        elif rng.random() < 0.2:
            del out[i:]
    return bytes(out)


def _swap(out: bytearray, pattern: bytes, rng: random.Random, words: list[bytes] | None) -> None:
    found = list(re.finditer(pattern, bytes(out)))
    if found:
        match = rng.choice(found)
        out[match.start() : match.end()] = rng.choice(words or [m.group() for m in found])


@pytest.mark.parametrize("suffix", SEEDS)
def test_seeds_are_read(text: Make, suffix: str) -> None:
    for number, seed in enumerate(SEEDS[suffix]):
        how = {".wkt": {"unit": "mm"}, ".ifc": {"profile": "all"}}.get(suffix, {})
        assert attempt(text(f"seed{number}{suffix}", seed()), **how)


@pytest.mark.parametrize("suffix", SEEDS)
@settings(max_examples=MUTANTS, deadline=None)
@given(seed=st.integers(0, 2**32))
def test_mutants(suffix: str, seed: int) -> None:
    rng = random.Random(seed)
    data = mutated(rng.choice(SEEDS[suffix])(), rng)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"mutant{suffix}"
        path.write_bytes(data)
        unit = "mm" if suffix == ".wkt" or rng.random() < 0.3 else None
        attempt(path, unit=unit, profile="all" if rng.random() < 0.7 else None)


@pytest.mark.parametrize("suffix", SEEDS)
@settings(max_examples=MUTANTS // 2, deadline=None)
@given(data=st.binary(max_size=300))
def test_noise_is_never_a_section(suffix: str, data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"noise{suffix}"
        path.write_bytes(data)
        assert not attempt(path, unit="mm")


@pytest.mark.parametrize("suffix", SEEDS)
def test_every_truncation_is_told(text: Make, suffix: str) -> None:
    """WKT and JSON close what they open, XML its root, DXF and STEP have an end mark."""
    data = SEEDS[suffix][0]().rstrip()
    step = max(1, len(data) // 60)
    for cut in range(1, len(data), step):
        assert not attempt(text(f"cut{suffix}", data[:cut]), unit="mm", profile="all")


def test_files_that_are_not_there_or_too_large(tmp_path: Path, text: Make) -> None:
    with pytest.raises(FileFormatError, match=r"no\.dxf' cannot be read: No such file"):
        read_drawing(tmp_path / "no.dxf")
    (tmp_path / "folder.svg").mkdir()
    with pytest.raises(FileFormatError, match=r"folder\.svg' is a folder"):
        read_drawing(tmp_path / "folder.svg")
    with pytest.raises(FileFormatError, match="cannot be read"):
        read_drawing("bad\0name.dxf")
    with pytest.raises(
        FileFormatError, match=r"no suffix of a known drawing; use one of .dxf, .svg"
    ):
        read_drawing(tmp_path / "deck.dwg")
    for suffix in SUFFIXES:
        with pytest.raises(FileFormatError, match="empty"):
            read_drawing(text(f"empty{suffix}", b" \n"))
    with (tmp_path / "large.svg").open("wb") as stream:
        stream.truncate(limits.MAX_BYTES + 1)
        stream.write(b"x")
    with pytest.raises(FileFormatError, match="larger than 10 MB"):
        read_drawing(tmp_path / "large.svg")


HEAD = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
TAIL = "0\nENDSEC\n0\nEOF\n"
PATH = '<svg xmlns="http://www.w3.org/2000/svg" data-length-unit="mm"><path d="{}"/></svg>'


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        (
            "a.dxf",
            HEAD + 21_000 * "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n1\n21\n1\n" + TAIL,
            "20000 entities",
        ),
        ("b.dxf", HEAD + 1_000_000 * "0\nX\n" + TAIL, "100000 DXF records"),
        ("a.svg", PATH.format("M0 0" + 400_000 * "1 1 "), "30000 edges in a path"),
        ("b.svg", PATH.format("M0 0" + 400_000 * "z"), "30000 commands in a path"),
        ("c.svg", PATH.format("M" + 9_000_000 * "1"), "M takes 2 numbers"),
        ("d.svg", PATH.format("M0 0" + 9_000_000 * " " + "x"), "M takes 2 numbers"),
        (
            "e.svg",
            PATH.replace("<path", f'<path transform="{"scale(1)" * 500}"').format("M0 0"),
            "more than 100 maps",
        ),
        ("a.ifc", f"ISO-10303-21;{3_000_000 * chr(39)}END-ISO-10303-21;", "1000000 instances"),
    ],
)
def test_huge_contents_end_in_good_time(text: Make, name: str, content: str, message: str) -> None:
    begin = time.perf_counter()
    with pytest.raises(FileFormatError, match=message):
        read_drawing(text(name, content), unit="mm")
    assert time.perf_counter() - begin < SECONDS


def test_blocks_inside_blocks_end_in_good_time(dxf: Make) -> None:
    def bomb(space: Any) -> None:
        """Ten copies of ten copies ...: ten thousand million circles."""
        space.doc.blocks.new("0").add_circle((0, 0), 1)
        for k in range(1, 11):
            block = space.doc.blocks.new(str(k))
            for j in range(10):
                block.add_blockref(str(k - 1), (j, 0))
        space.add_blockref("10", (0, 0))

    def endless(space: Any) -> None:
        block = space.doc.blocks.new("loop")
        block.add_blockref("loop", (1, 0))
        space.add_blockref("loop", (0, 0))

    def array(space: Any) -> None:
        space.doc.blocks.new("bar").add_circle((0, 0), 1)
        size = {"row_count": 30_000, "row_spacing": 5, "column_count": 30_000, "column_spacing": 5}
        space.add_blockref("bar", (0, 0), dxfattribs=size)

    for draw, message in [(bomb, "copies of blocks"), (endless, "32 deep"), (array, "copies")]:
        begin = time.perf_counter()
        with pytest.raises(FileFormatError, match=message):
            read_drawing(dxf(draw))
        assert time.perf_counter() - begin < SECONDS


def test_nothing_heavy_is_loaded_before_it_is_needed() -> None:
    heavy = ("ezdxf", "defusedxml", "shapely", "scipy", "matplotlib", "pint", "gmsh")
    code = (
        f"import sys, soapfilm.geometry.drawings\nprint([m for m in {heavy!r} if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_libraries_do_not_speak_up(text: Make) -> None:
    """Remarks of the DXF library on a damaged file would land on the user's terminal."""
    path = text("odd.dxf", HEAD + "0\nINSERT\n8\n0\n2\nnowhere\n10\n0\n20\n0\n" + TAIL)
    code = (
        "from soapfilm.geometry.drawings import read_drawing\n"
        f"try: read_drawing({str(path)!r})\nexcept Exception as error: print(type(error).__name__)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "FileFormatError"
    assert done.stderr == ""
