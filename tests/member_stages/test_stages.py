"""Members built in stages beside members loaded at once, and beside statics by hand."""

from __future__ import annotations

import json

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.stages.passages import staged_table
from soapfilm.report.stages.record import stage_station_table, staged_json
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.load import Combination
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.staged.assessment import StagedAssessment, assess_stages
from soapfilm.solver.study.choice.staged_outcome import outcome

BEAM = """
unit = "mm"
[section.beam]
shape = "HEB300"
material = "S355"
[[span]]
length = "6 m"
[[support]]
name = "wall"
at = ["start", "end"]
kind = "fork"
{play}
[points]
brick = [180, 0]
[[load]]
case = "first"
weight = "4 kN/m"
place = [100, 150]
[[load]]
case = "then"
at = "2 m"
weight = "20 kN"
place = "brick"
[[combination]]
name = "all"
factors = {{ first = 1.35, then = 1.5 }}
[[combination]]
name = "plain"
factors = {{ first = 1.0, then = 1.0 }}
{more}
"""
TWO = """
[[stage]]
name = "one"
cases = ["first"]
{one}
[[stage]]
name = "two"
{two}
"""
CLASSICAL = '[analysis]\nsections = "keep their shape"\n'
PLAY = 'clearance = "1 mm"\nclearance_arm = "200 mm"'


def staged(more: str = "", play: str = "", one: str = "", two: str = "") -> StagedAssessment:
    """The beam built in two stages."""
    text = BEAM.format(play=play, more=more + TWO.format(one=one, two=two))
    return assess_stages(member_from_toml(text))


class TestNothingChanges:
    """Stages of one and the same structure add up to the member loaded at once."""

    @pytest.mark.parametrize("theory", ["", CLASSICAL])
    @pytest.mark.parametrize("play", ["", PLAY])
    def test_all_adds_up(self, theory: str, play: str) -> None:
        """With play too: it is taken up in the first stage, and stays so."""
        found = staged(theory, play)
        assert found.history.theory == ("classical" if theory else "deforming")
        whole = assess(member_from_toml(BEAM.format(play=play, more=theory)), cures=False)
        solution = whole.deformed.solution if whole.deformed else whole.solution
        last = found.stages[-1]
        twist = solution.twist(last.z) if whole.deformed else whole.solution.at(last.z).phi
        within = 1e-9
        assert last.twist == pytest.approx(twist, abs=within * np.abs(twist).max())
        moved = np.stack(solution.movement("brick", last.z))
        assert last.moved["brick"] == pytest.approx(moved, abs=within * np.abs(moved).max())
        reactions = whole.reactions[0].supports[0]
        for ours, theirs in zip(last.reactions[0], reactions, strict=True):
            assert ours.force == pytest.approx(theirs.force, rel=1e-6, abs=1.0)
            assert ours.torque == pytest.approx(theirs.torque, rel=1e-6)

    BEAMS = """
[[secondary_beam]]
name = "joist"
at = ["2 m", "4 m"]
E = "210 GPa"
I = "5790 cm^4"
length = "4.5 m"
side = "left"
place = [-60, 0]
connection = "900 kN*m/rad"
far_end = "pinned"
loads = { first = "4 kN/m", then = "7 kN/m" }
"""

    @pytest.mark.parametrize(
        "play", ["", 'clearance = "0.3 mm"\nclearance_arm = "140 mm"'], ids=["tight", "play"]
    )
    def test_secondary_beams_bring_each_stage_its_own(self, play: str) -> None:
        """Their connections turn one way in both stages, so that all adds up, play or not."""
        more = CLASSICAL + self.BEAMS + play + "\n"
        found = staged(more)
        whole = assess(member_from_toml(BEAM.format(play="", more=more)), cures=False)
        last = found.stages[-1]
        twist = whole.solution.at(last.z).phi
        assert last.twist == pytest.approx(twist, abs=1e-7 * np.abs(twist).max())
        for ours, theirs in zip(last.reactions[0], whole.solution.reactions[0], strict=True):
            assert ours.moment == pytest.approx(theirs.moment, rel=1e-6, abs=1e3)

    def test_tubes_with_round_corners(self) -> None:
        """Points of the border near the start of an inner round lay outside the material."""
        text = BEAM.format(play="", more=TWO.format(one="", two=""))
        text = text.replace("HEB300", "HFSHS300X300X12.5")
        found = assess_stages(member_from_toml(text))
        assert not found.alone
        stress = found.stages[-1].stress
        assert stress is not None
        assert stress.utilisation is not None

    @pytest.mark.parametrize("theory", ["", CLASSICAL])
    def test_stress_adds_up(self, theory: str) -> None:
        found = staged(theory)
        whole = assess(member_from_toml(BEAM.format(play="", more=theory)), cures=False)
        stress = found.stages[-1].stress
        other = whole.deformed.stress if whole.deformed else whole.stress
        assert stress is not None
        assert other is not None
        for c in range(2):
            assert stress.mises[:, c].max() == pytest.approx(other.mises[:, c].max(), rel=0.02)


class TestJointsThatTurnBack:
    """What a joint with play holds follows from all that it has turned, whatever the way."""

    @pytest.mark.parametrize("theory", ["", CLASSICAL])
    def test_across_the_play_to_the_other_side(self, theory: str) -> None:
        """The second stage's uplift turns the beam the other way, past its play: as at once."""
        text = BEAM.format(play=PLAY, more=theory).replace('weight = "20 kN"', 'F_y = "60 kN"')
        whole = assess(member_from_toml(text), cures=False)
        found = assess_stages(member_from_toml(text + TWO.format(one="", two="")))
        last = found.stages[-1]
        first, then = (np.sign(s.twist[100, 0]) for s in found.stages)
        assert first != then
        if theory:
            twist = whole.solution.at(last.z).phi
        else:
            assert whole.deformed is not None
            twist = whole.deformed.solution.twist(last.z)
        within = 1e-7 if theory else 3e-4
        assert last.twist == pytest.approx(twist, abs=within * np.abs(twist).max())
        for ours, theirs in zip(last.reactions[0], whole.reactions[0].supports[0], strict=True):
            assert ours.torque == pytest.approx(theirs.torque, rel=1e-5)
            assert ours.force == pytest.approx(theirs.force, rel=1e-6, abs=1.0)

    @pytest.mark.parametrize("theory", ["", CLASSICAL])
    def test_a_bearing_that_lifts_and_comes_back(self, theory: str) -> None:
        """An eccentric load lifts a bearing in the first stage; the second presses it down."""
        text = BEAM.format(play="", more=theory).replace(
            'at = ["start", "end"]\nkind = "fork"',
            'at = "start"\nkind = "fork"\n[[support]]\nname = "pier"\nat = "end"\n'
            'kind = "bearing pair"\nspacing = "200 mm"',
        )
        text = text.replace("place = [100, 150]", "place = [140, 150]").replace(
            'place = "brick"', "place = [-60, 0]"
        )
        whole = assess(member_from_toml(text), cures=False)
        found = assess_stages(member_from_toml(text + TWO.format(one="", two="")))
        lifted = [b.lifted for r in found.stages[0].reactions[0] for b in r.bearings]
        assert any(lifted)
        for ours, theirs in zip(
            found.stages[1].reactions[0], whole.reactions[0].supports[0], strict=True
        ):
            for a, b in zip(ours.bearings, theirs.bearings, strict=True):
                assert a.force == pytest.approx(b.force, rel=1e-4, abs=30.0)


class TestWhatComesLater:
    """A hold that comes later takes the later loads alone."""

    DECK = '[[deck]]\nname = "slab"\ntwist = "200 kN*m/rad/m"\n'

    @pytest.mark.parametrize("theory", ["", CLASSICAL])
    def test_a_slab_holds_only_what_follows(self, theory: str) -> None:
        found = staged(theory + self.DECK, one='without = ["slab"]')
        z = found.stages[1].z
        by_hand = 0.0
        for more, case in (("", "first"), (self.DECK, "then")):
            request = member_from_toml(BEAM.format(play="", more=more))
            # All loads stand there, for their functions; this case alone acts.
            alone = request.member.with_(combinations=(Combination("plain", {case: 1.0}),))
            if theory:
                by_hand = by_hand + solve(alone).at(z).phi[:, 0]
            else:
                course = course_of(alone, request.sections)
                by_hand = by_hand + solve_deforming(alone, course).twist(z)[:, 0]
        tolerance = 1e-9
        c = found.names.index("plain")
        assert found.stages[1].twist[:, c] == pytest.approx(
            by_hand, abs=tolerance * np.abs(by_hand).max()
        )

    def test_nothing_less_than_with_the_slab_from_the_start(self) -> None:
        late = staged(CLASSICAL + self.DECK, one='without = ["slab"]')
        early = staged(CLASSICAL + self.DECK)
        assert np.abs(late.stages[1].twist).max() > 1.05 * np.abs(early.stages[1].twist).max()


class TestAProp:
    """What a prop has held is given back when it goes: by superposition nothing of it is left
    where the section has not changed."""

    PROP = '[[support]]\nname = "prop"\nat = "middle"\ny = "held"\ntwist = "held"\n'

    @pytest.mark.parametrize("theory", ["", CLASSICAL])
    def test_taken_away_as_if_it_had_never_been(self, theory: str) -> None:
        found = staged(theory + self.PROP, two='without = ["prop"]')
        never = staged(theory)
        assert found.stages[1].released == ("prop",)
        assert "prop" not in [r.title for r in found.stages[1].reactions[0]]
        z = never.stages[1].z
        assert np.abs(found.stages[0].twist).max() < np.abs(never.stages[0].twist).max() / 2
        assert found.stages[1].twist == pytest.approx(
            never.stages[1].twist, abs=2e-3 * np.abs(never.stages[1].twist).max()
        )
        for a, b in zip(found.stages[1].reactions[0], never.stages[1].reactions[0], strict=True):
            assert a.force == pytest.approx(b.force, rel=1e-5, abs=1.0)
            assert a.torque == pytest.approx(b.torque, rel=1e-3)
        assert len(z) == len(found.stages[1].z)


class TestLimitsAndOutput:
    def test_a_limit_of_one_stage(self) -> None:
        found = staged(CLASSICAL + '[[limit]]\ntwist = "1 deg"\nstages = ["two"]\n')
        assert [stage.name for stage, _ in found.limits] == ["two"]

    def test_table_and_record_say_the_same(self) -> None:
        found = staged(CLASSICAL + '[[limit]]\nstress = "strength"\n')
        text = staged_table(found)
        record = json.loads(staged_json(found))
        largest = np.degrees(np.abs(found.stages[1].twist[:, 0]).max())
        assert f"{largest:.4g}" in text
        assert [s["stage"] for s in record["stages"]] == ["one", "two"]
        assert max(map(abs, record["stages"][1]["twist"]["all"])) == pytest.approx(
            np.radians(largest)
        )
        assert "licensed engineer" in " ".join(text.split())
        assert "centred in their clearances" not in " ".join(text.split())
        slipping = staged_table(staged(CLASSICAL, PLAY))
        assert "centred in their clearances" in " ".join(slipping.split())


class TestWhatStagesCannotJudge:
    def test_it_is_said_in_table_and_record(self) -> None:
        """A limit that is read and then left out in silence looks kept."""
        more = CLASSICAL + (
            '[[limit]]\nfirst_frequency = "3 Hz"\n[[limit]]\ncritical_factor = 4\n'
            '[[code]]\nfamily = "EN 1993"\n'
        )
        found = staged(more)
        said = " ".join(staged_table(found).split())
        (recorded,) = json.loads(staged_json(found))["not_judged"]
        for word in ("first_frequency", "critical_factor", "[[code]]"):
            assert word in said
            assert word in recorded

    def test_nothing_is_said_where_all_is_judged(self) -> None:
        found = staged(CLASSICAL)
        assert "Not judged" not in staged_table(found)
        assert json.loads(staged_json(found))["not_judged"] == []


class TestBadInput:
    @pytest.mark.parametrize(
        ("one", "two", "said"),
        [
            ('without = ["slap"]', "", "'slap'"),
            ("", 'cases = ["first"]', "already"),
            ("", 'cases = ["third"]', "'third'"),
            ('sections = { beam = "other" }', "", "'other'"),
            ('sections = "beam"', "", "stands for what"),
            ('withou = ["wall 1"]', "", "withou"),
        ],
    )
    def test_names(self, one: str, two: str, said: str) -> None:
        with pytest.raises(InputError, match="stage") as caught:
            staged("", "", one, two)
        assert said in str(caught.value)

    def test_a_mechanism_is_named_with_its_stage(self) -> None:
        with pytest.raises(InputError, match="stage 'two'") as caught:
            staged(CLASSICAL, two='without = ["wall 1", "wall 2"]')
        assert "rotate freely" in str(caught.value)

    def test_a_deck_is_not_taken_away(self) -> None:
        deck = '[[deck]]\nname = "slab"\ntwist = "200 kN*m/rad/m"\n'
        with pytest.raises(InputError, match="taken away"):
            staged(deck, two='without = ["slab"]')

    def test_other_commands_say_which_one_follows_stages(self) -> None:
        text = BEAM.format(play="", more=TWO.format(one="", two=""))
        with pytest.raises(InputError, match="soapfilm member"):
            assess(member_from_toml(text))

    def test_second_order_is_refused(self) -> None:
        with pytest.raises(InputError, match="first order"):
            staged('[analysis]\norder = "second"\n')


class TestStudies:
    def test_a_row_is_the_worst_of_its_stages(self) -> None:
        """As the report's own stages say."""
        more = CLASSICAL + '[[limit]]\ntwist = "1.5 deg"\n[[limit]]\nstress = "strength"\n'
        text = BEAM.format(play="", more=more + TWO.format(one="", two=""))
        request = member_from_toml(text)
        found = outcome(request)
        staged_ = assess_stages(request)
        assert found.twist == max(np.abs(s.twist).max() for s in staged_.stages)
        assert [row.number for row in found.rows] == [1, 2, 1, 2]
        assert {row.row.limit.split(":")[0] for row in found.rows} == {"one", "two"}
        assert found.theory == "classical"
        assert len(found.reactions[0]) == 2


def test_what_supports_hold_has_moved_by_nothing_and_not_by_rounding() -> None:
    table = stage_station_table(staged())
    at_column = [row for row in table if row["z"] == 0.0]
    assert at_column
    assert all(row["u"] == row["v"] == row["twist"] == 0.0 for row in at_column)
    largest = max(abs(row["v"]) for row in table)
    assert all(row["v"] == 0.0 or abs(row["v"]) > 1e-11 * largest for row in table)
