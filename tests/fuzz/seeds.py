"""Valid files of every kind that is read, from which mutations start."""

from __future__ import annotations

import io
import random
from functools import cache

import ezdxf
import shapely
from soapfilm.cli.demo import bundled
from soapfilm.geometry.catalogue import shape
from soapfilm.geometry.drawings import write_drawing
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section, Slit

from .keyed_texts import keyed_text

SECTION = Section(
    (
        Region(
            Contour([[0, 0], [100, 0], [100, 50], [0, 50]], [0, 0, 0.1, -0.2]),
            (Contour.circle((40, 25), 8),),
            name="web",
        ),
        Region(Contour([[100, 0], [140, 0], [140, 10], [100, 10]]), name="toe"),
    ),
    "seed",
    "mm",
    (Slit(((5.0, 5.0), (9.0, 5.0))),),
)
_SVG = b"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">
<defs><circle id="c" cx="5" cy="4" r="2"/></defs>
<g id="web" transform="translate(2 1) scale(2)">
<path d="M0 0h45v18A3 4 0 0 1 40 22 C 30 24 20 18 10 22 S 4 22 0 20z"/>
<circle cx="5" cy="4" r="2"/><g transform="rotate(30 15 8)"><rect x="12" y="5" width="6" height="5"
rx="1"/></g><polygon points="22,4 28,4 28,9"/><ellipse cx="36" cy="8" rx="4" ry="2"/>
<path d="M20 12 C 21 13 24 13 25 12 S 28 11 30 12 Q 32 17 20 15z"/></g></svg>"""
_JSON = b"""{"type":"FeatureCollection","length_unit":"mm","features":[{"type":"Feature",
"properties":{"name":"a"},"geometry":{"type":"Polygon","coordinates":[[[0,0],[10,0],[10,10],[0,10],
[0,0]],[[2,2],[4,2],[4,4],[2,2]]]}},{"type":"Feature","properties":{"layer":"b"},"geometry":{"type":
"MultiLineString","coordinates":[[[10,0],[30,0],[30,5]],[[30,5],[10,5],[10,0]]]}}]}"""
_IFC = b"""ISO-10303-21;
HEADER;FILE_SCHEMA(('IFC4'));ENDSEC;
DATA;
#1=IFCUNITASSIGNMENT((#2,#3));
#2=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);
#3=IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.);
#30=IFCCOMPOSITEPROFILEDEF(.AREA.,'all',(#10,#5,#50),$);
#5=IFCISHAPEPROFILEDEF(.AREA.,'It''s; I',#8,150.,300.,7.1,10.7,15.,2.,0.1);
#9=IFCCARTESIANPOINT((-150.,25.));
#8=IFCAXIS2PLACEMENT2D(#9,#7);
#7=IFCDIRECTION((0.,1.));
#10=IFCARBITRARYPROFILEDEFWITHVOIDS(.AREA.,'A',#11,(#12));
#11=IFCINDEXEDPOLYCURVE(#13,(IFCLINEINDEX((1,2)),IFCARCINDEX((2,3,4)),IFCLINEINDEX((4,5,1))),.F.);
#13=IFCCARTESIANPOINTLIST2D(((0.,0.),(100.,0.),(125.,25.),(100.,50.),(0.,50.)));
#12=IFCCIRCLE(#14,10.);
#14=IFCAXIS2PLACEMENT2D(#15,$);
#15=IFCCARTESIANPOINT((40.,25.));
#50=IFCRECTANGLEHOLLOWPROFILEDEF(.AREA.,'tube',#51,100.,60.,4.,4.,8.);
#51=IFCAXIS2PLACEMENT2D(#52,$);
#52=IFCCARTESIANPOINT((50.,80.));
ENDSEC;
END-ISO-10303-21;
"""
_PLATED = b"""name = "parts of every kind"
unit = "mm"
[material.steel]
grade = "S355"
[material.slab]
E = "30 GPa"
nu = 0.2
density = "2400 kg/m^3"
creep_factor = 1.5
[[shape]]
name = "beam"
material = "steel"
profile = "U"
Depth = 200
FlangeWidth = 80
WebThickness = 8
FlangeThickness = 12
FilletRadius = 10
FlangeSlope = "1:12"
rotate = 90
mirror = "x"
[[outline]]
material = "slab"
points = [[-300, 40], [300, 40], [300, 120, -0.05], [-300, 120]]
holes = [[[-20, 70, 1], [20, 70, 1]]]
combine = "add"
[[outline]]
combine = "cut"
points = [[-400, 110], [-200, 110], [-200, 200], [-400, 200]]
[[plate]]
name = "lip"
material = "steel"
points = [[-120, -40], [120, -40]]
line = "left"
thickness = ["10 mm", 6]
[[weld]]
name = "root"
between = ["lip", "beam"]
kind = "full"
"""
_CASES = b"""[[case]]
name = "crowd on one side"
V_y = "120 kN"
T = "4 kN*m"
through = ["40 mm", "0 mm"]
[[case]]
name = "wind"
M_x = "-3.5 kip*ft"
V_x = "12.5 kN"
B = "0.2 kN*m^2"
N = "1 1/2 kip"
"""
KINDS = (".toml", ".dxf", ".svg", ".geojson", ".wkt", ".ifc", ".cases")
#: Kinds of TOML files that are about sections: what `file_attempt` reads.
FILES = (".member", ".joint", ".study", ".size")


@cache
def seeds(kind: str) -> tuple[bytes, ...]:
    """Valid files of a kind of `KINDS` or `FILES`; `.cases` are load cases, also TOML."""
    if kind in FILES:
        return _files(kind)
    if kind == ".toml":
        others = ("[[span]]", "[[joint]]")
        examples = [t.encode() for t in bundled().values() if not any(o in t for o in others)]
        return (*examples, _PLATED)
    if kind == ".dxf":
        return _dxf(), write_drawing(SECTION, "dxf"), write_drawing(shape("C10X20"), "dxf")
    if kind == ".svg":
        return _SVG, write_drawing(SECTION, "svg")
    if kind == ".wkt":
        boxes = [shapely.box(0, 0, 9, 9), shapely.box(9, 0, 12, 4)]
        ring = shapely.Point(0, 0).buffer(9).difference(shapely.Point(1, 0).buffer(4))
        return shapely.MultiPolygon(boxes).wkt.encode(), ring.wkt.encode()
    return {".geojson": (_JSON,), ".ifc": (_IFC,), ".cases": (_CASES,)}[kind]


def _files(kind: str) -> tuple[bytes, ...]:
    """The bundled examples of a kind, and sound ones as `keyed_texts` writes them."""
    marks = {".member": ("[[span]]",), ".joint": ("[[joint]]",), ".study": (), ".size": ()}[kind]
    examples = [t for t in bundled().values() if any(m in t for m in marks)]
    sound = [keyed_text(random.Random(n), kind[1:], plain=True) for n in range(12)]
    return tuple(text.encode() for text in (*examples, *sound))


def _dxf() -> bytes:
    """Every kind of entity that is read, by a general library."""
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
    return stream.getvalue().encode()
