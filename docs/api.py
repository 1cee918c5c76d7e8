"""Write API.md: what to import for which job, with the first sentence of each docstring.

Run: ``python docs/api.py``. A test checks that the page is what this writes.
"""

from __future__ import annotations

import importlib
import inspect
import re
from pathlib import Path

PAGE = Path(__file__).with_name("API.md")
HEAD = """# What to import

The package itself does most jobs; the modules behind it follow, by job. Docstrings
(`help(sf.solve)`) give arguments, units, errors and sources; results of the modules are frozen
dataclasses whose fields are described there. Lengths are in the section's own unit and everything
else in consistent units with it, unless a text says otherwise. Every other name may be imported as
well, but may change with any version.

Written by `docs/api.py`.
"""
#: Job, module (under `soapfilm`), names.
NAMES: dict[str, dict[str, tuple[str, ...]]] = {
    "Everything from the package itself": {
        "": (
            "load",
            "build",
            "solve",
            "sweep",
            "pays",
            "SectionSolution",
            "StressSolution",
            "SectionFields",
            "PartsSolution",
            "MemberSolution",
            "StagedSolution",
            "JointSolution",
            "SectionPays",
            "MemberPays",
            "SectionBuilder",
            "DataTable",
            "Value",
        ),
    },
    "Describe a section": {
        "geometry.section": ("Section", "Region", "Slit"),
        "geometry.outline.contour": ("Contour",),
        "geometry.outline.placement": ("Placement",),
        "geometry.material": ("Material",),
        "geometry.grades": ("generic_material", "long_term", "modular_ratio"),
        "geometry.profiles.by_name": ("build_profile", "profile_named", "profile_attributes"),
        "geometry.planar.boolean": ("union", "difference", "intersection"),
        "geometry.plates.assembly": ("assemble",),
        "geometry.plates.plate": ("Plate",),
        "geometry.plates.weld": ("Weld",),
        "geometry.catalogue": ("shape", "listing", "search", "nearest"),
        "geometry.checks.validate": ("check",),
        "geometry.units": ("Units",),
    },
    "Read and write it": {
        "geometry.section_file": ("load_section", "section_from_toml"),
        "geometry.outline.polygons": (
            "section_from_polygon",
            "section_from_wkt",
            "with_arcs",
            "region_polygons",
        ),
        "geometry.drawings": ("read_drawing", "write_drawing"),
    },
    "Solve it": {
        "solver.section": ("solve_section", "SectionResult", "Limits"),
        "solver.section.stress.actions": ("Actions",),
        "solver.section.stress.load_cases": ("solve_stress", "StressResult"),
        "solver.section.buckling.solution": ("solve_buckling",),
        "solver.section.buckling.result": ("SectionBuckling", "BucklingMode"),
        "solver.section.buckling.effective": ("effective_section",),
    },
    "Solve a member": {
        "solver.member.file": ("load_member", "member_from_toml"),
        "solver.member.model.member": ("Member",),
        "solver.member.model.axis": ("Axis", "Straight", "Arc"),
        "solver.member.model.constants": ("SectionConstants",),
        "solver.member.model.section_source": ("constants_of",),
        "solver.member.model.load": ("PointLoad", "LineLoad", "SelfWeight", "Combination", "Place"),
        "solver.member.model.support": (
            "fork",
            "fixed",
            "free_end",
            "warping_held",
            "bearing_pair",
        ),
        "solver.member.beam.analysis": ("solve", "critical_loads"),
        "solver.member.review.assessment": ("assess",),
    },
    "Compare and search": {
        "solver.study.choice.comparison": ("compare_sections",),
        "solver.study.choice.sizing": ("size_member",),
        "solver.study.file.study_file": ("load_study",),
        "solver.study.run.sweep": ("run_study",),
    },
    "Hand it over": {
        "report.section.figure": ("plot_shear", "plot_warping", "save"),
        "report.stress.figure": ("plot_stress",),
        "report.buckling.figure": ("buckling_figure",),
        "report.buckling.table": ("buckling_table",),
        "report.buckling.record": ("buckling_json", "write_buckling_csv"),
        "report.member.figure": ("plot_member",),
        "report.section.table": ("section_table",),
        "report.section.record": ("section_json",),
        "report.stress.table": ("stress_table",),
        "report.member.table": ("member_table",),
        "report.member.record": ("member_json",),
        "report.stress.field_files": ("write_vtu", "write_csv"),
        "report.page.section_report": ("section_report", "stress_report"),
        "report.page.member_report": ("member_report",),
        "report.page.buckling_report": ("buckling_report",),
    },
    "Catch": {
        "geometry.errors": (
            "SoapfilmError",
            "InputError",
            "GeometryError",
            "FileFormatError",
            "UnitError",
            "SolveError",
            "MeshError",
        ),
    },
}


def sentence(thing: object) -> str:
    """The first sentence of a docstring on one line, fit for a table."""
    text = " ".join((inspect.getdoc(thing) or "").split("\n\n")[0].split())
    first = re.split(r"(?<=[.;]) (?=[A-Z`])", text)[0].rstrip(".;")
    return first.replace("|", "\\|")


def page() -> str:
    """The whole page."""
    parts = [HEAD]
    for job, modules in NAMES.items():
        parts.append(f"\n## {job}\n\n| name | from | |\n| --- | --- | --- |\n")
        for module, names in modules.items():
            full = f"soapfilm.{module}".rstrip(".")
            home = importlib.import_module(full)
            parts += [
                f"| `{name}` | `{full}` | {sentence(getattr(home, name))} |\n" for name in names
            ]
    return "".join(parts)


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
