"""soapfilm: torsion of real members, from any outline to J with its error, to the member.

    import soapfilm as sf

    r = sf.solve("girder.toml")            # a file, a designation, a shapely polygon with unit=
    r.J.value, r.J.lower, r.J.upper        # J with its guaranteed interval
    r.stress(V_y="120 kN", T="2 kN*m").max("von Mises")
    sf.solve("edge.toml").reactions.to_frame()

Everything is imported when it is first used: the import itself loads no numerics.
"""

from __future__ import annotations

TYPE_CHECKING = False  # type checkers take it for true; `typing` costs more than this module
if TYPE_CHECKING:
    from .building import SectionBuilder, build
    from .geometry.errors import InputError, SoapfilmError, SolveError
    from .geometry.material import Material
    from .geometry.section import Section
    from .joint_solution import JointSolution
    from .loading import load
    from .member_solution import MemberSolution
    from .parts_solution import PartsSolution
    from .paying import MemberPays, SectionPays, pays
    from .report.data_table import DataTable
    from .report.stress.field_arrays import SectionFields
    from .section_solution import SectionSolution
    from .solving import solve
    from .staged_solution import StagedSolution
    from .stress_solution import StressSolution
    from .sweeping import sweep
    from .value import Value

    __version__: str

#: Public names, and the modules they come from.
_HOMES = {
    "load": "loading",
    "build": "building",
    "solve": "solving",
    "sweep": "sweeping",
    "pays": "paying",
    "Section": "geometry.section",
    "SectionBuilder": "building",
    "Material": "geometry.material",
    "SectionSolution": "section_solution",
    "StressSolution": "stress_solution",
    "PartsSolution": "parts_solution",
    "SectionPays": "paying",
    "MemberPays": "paying",
    "MemberSolution": "member_solution",
    "StagedSolution": "staged_solution",
    "JointSolution": "joint_solution",
    "SectionFields": "report.stress.field_arrays",
    "DataTable": "report.data_table",
    "Value": "value",
    "SoapfilmError": "geometry.errors",
    "InputError": "geometry.errors",
    "SolveError": "geometry.errors",
}
__all__ = [
    "DataTable",
    "InputError",
    "JointSolution",
    "Material",
    "MemberPays",
    "MemberSolution",
    "PartsSolution",
    "Section",
    "SectionBuilder",
    "SectionFields",
    "SectionPays",
    "SectionSolution",
    "SoapfilmError",
    "SolveError",
    "StagedSolution",
    "StressSolution",
    "Value",
    "__version__",
    "build",
    "load",
    "pays",
    "solve",
    "sweep",
]


def __getattr__(name: str) -> object:
    """Import a public name when it is first asked for (PEP 562)."""
    if name == "__version__":
        from importlib.metadata import version

        return version("soapfilm")
    if name not in _HOMES:
        raise AttributeError(f"module 'soapfilm' has no attribute {name!r}")
    from importlib import import_module

    found = getattr(import_module(f".{_HOMES[name]}", __name__), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """The public names, for editors and notebooks."""
    return __all__
