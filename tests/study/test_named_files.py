"""What a study's file names in turn: section files taken in, and files that must not go stale."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.geometry.errors import FileFormatError, InputError
from soapfilm.solver.member.file import load_member
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.study.file.member_base import MemberBase
from soapfilm.solver.study.file.section_base import SectionBase
from soapfilm.solver.study.file.study_file import load_study

from .files import BEAM

NAMED = BEAM.replace('shape = "IPE300"\nmaterial = "S355"', 'file = "tube.toml"')
SQUARE = "POLYGON((0 0, 40 0, 40 40, 0 40, 0 0))"


@pytest.fixture
def named(tube: Path) -> Path:
    """A member file that names the tube's file."""
    file = tube.with_name("named.toml")
    file.write_text(NAMED)
    return file


def test_values_of_a_named_section_file_are_changed_as_if_they_stood_in_the_member(
    named: Path, tube: Path
) -> None:
    base = MemberBase.from_file(named)
    base.check(["section.girder.wall.WallThickness", "span.1.length"])
    changed = base.solved({"section.girder.wall.WallThickness": 8}, 1e-5, None)
    tube.write_text(tube.read_text().replace("WallThickness = 5", "WallThickness = 8"))
    direct = assess(load_member(named))
    twist = abs(direct.table.phi).max()
    assert changed["twist_deg"] == pytest.approx(twist * 180 / 3.141592653589793, rel=1e-3)
    assert changed["limit_used"] == pytest.approx(
        max(item.row.ratio for item in direct.limits), rel=1e-3
    )
    assert changed["stress_bounded"] == 0  # the tube's inner corners are sharp


def test_a_placed_section_file_stays_a_file_and_counts_by_its_content(
    named: Path, tube: Path
) -> None:
    named.write_text(named.read_text().replace('"tube.toml"', '"tube.toml"\nrotate = 90'))
    before = MemberBase.from_file(named)
    with pytest.raises(InputError, match="wall"):
        before.check(["section.girder.wall.WallThickness"])
    tube.write_text(tube.read_text().replace("WallThickness = 5", "WallThickness = 6"))
    assert MemberBase.from_file(named).digest != before.digest


def test_a_drawing_that_changes_makes_another_study(tmp_path: Path) -> None:
    drawn, file = tmp_path / "bar.wkt", tmp_path / "bar.toml"
    drawn.write_text(SQUARE)
    file.write_text('unit = "mm"\n[[drawing]]\nfile = "bar.wkt"\nunit = "mm"\n')
    before = SectionBase.from_file(file)
    drawn.write_text(SQUARE.replace("40", "50"))
    after = SectionBase.from_file(file)
    assert before.text == after.text
    assert before.digest != after.digest


def test_a_named_file_that_is_not_there(tmp_path: Path) -> None:
    file = tmp_path / "bar.toml"
    file.write_text('unit = "mm"\n[[drawing]]\nfile = "nix.wkt"\n')
    with pytest.raises(FileFormatError, match=r"bar\.toml: file nix\.wkt: cannot be read: No such"):
        SectionBase.from_file(file)


def sample(tube: Path, *lines: str) -> Path:
    file = tube.with_name("sample.toml")
    keys = "\n".join(('section = "tube.toml"', 'kind = "sample"', *lines))
    ranges = "".join(
        f'[[parameter]]\nname = "{n}"\nsets = "wall.{key}"\nfrom = {low}\nto = {high}\n'
        for n, key, low, high in (("b", "XDim", 80, 120), ("t", "WallThickness", 4, 8))
    )
    file.write_text(f"{keys}\n{ranges}")
    return file


def test_a_sample_in_a_file_fills_its_ranges_and_repeats(tube: Path) -> None:
    plan = load_study(sample(tube, "count = 16", "seed = 7")).plan
    points = list(plan.points())
    assert len(points) == 16
    assert all(80 <= b <= 120 and 4 <= t <= 8 for b, t in points)
    for k, (low, high) in enumerate(((80, 120), (4, 8))):  # one in each sixteenth
        cells = sorted(int(16 * (p[k] - low) / (high - low)) for p in points)
        assert cells == list(range(16))
    assert points == list(load_study(sample(tube, "count = 16", "seed = 7")).plan.points())
    assert points != list(load_study(sample(tube, "count = 16", "seed = 8")).plan.points())


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("", "count is missing"),
        ("count = 2.5", "count is a whole number"),
        ("count = -4", "count is a whole number of 0 or more, got -4"),
        ("count = 4\nseed = 0.5", "seed is a whole number"),
        ("count = 4\nmethod = 'sobel'", "did you mean 'sobol'"),
    ],
)
def test_slips_in_a_sample(tube: Path, line: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        load_study(sample(tube, line))


def test_a_sample_has_no_steps(tube: Path) -> None:
    file = sample(tube, "count = 4")
    file.write_text(file.read_text().replace("to = 120", "to = 120\nsteps = 3"))
    with pytest.raises(InputError, match="parameter 'b': a sample has no steps"):
        load_study(file)


def test_parameters_in_single_brackets(tube: Path) -> None:
    file = tube.with_name("single.toml")
    file.write_text('section = "tube.toml"\n[parameter]\nname = "b"\nsets = "wall.XDim"\n')
    with pytest.raises(InputError, match="table in double brackets"):
        load_study(file)
