"""What a chart costs is what comes of walking through it in every world."""

import msgspec
import pytest

from faultnet.drawing.chart.grow import MOST, TooDeepError
from faultnet.drawing.chart.made import UnchartedError
from faultnet.model.evidence import Answer, Evidence, Round
from tests.drawing.chart import enumerated
from tests.drawing.chart.conftest import NO_WATER


def test_following_the_chart_costs_what_it_says(chart):
    assert chart.expected == pytest.approx(enumerated.by_chart(chart), rel=1e-9)


@pytest.mark.parametrize("depth", [1, 2])
def test_so_does_a_shallower_one(charted, depth):
    chart = charted("several", depth)
    assert chart.expected == pytest.approx(enumerated.by_chart(chart), rel=1e-9)


def test_asking_at_every_step_costs_what_it_says(chart):
    assert chart.live.exact
    told = enumerated.live(chart.subject, NO_WATER)
    assert chart.live.expected == pytest.approx(told, rel=1e-6)


def test_deeper_charts_cost_less_and_no_check_the_most(charted):
    costs = [charted("one", depth).expected for depth in (1, 2, 3)]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] < charted("one", 1).repair_only


def test_boxes_are_reached_as_often_as_they_say(chart):
    reached = enumerated.reaching(chart)
    for box in chart.boxes:
        assert box.reached == pytest.approx(reached[box.number], rel=1e-9)


def test_chances_of_a_box_come_to_one(chart):
    for box in chart.boxes:
        assert sum(w.chance for w in box.ways) + box.other_chance == pytest.approx(1.0)
        assert sum(w.lasting for w in box.ways) + box.other_lasting == pytest.approx(1.0)


def test_boxes_refer_to_each_other_both_ways(chart):
    boxes = {box.number: box for box in chart.boxes}
    there = {(box.number, way.box) for box in chart.boxes for way in box.ways if way.box}
    back = {(source, box.number) for box in chart.boxes for source in box.sources}
    assert there == back
    assert all(there_ > here for here, there_ in there)
    assert list(boxes) == list(range(1, len(boxes) + 1))


def test_a_danger_on_the_way_stops_first(chart):
    told = [way for box in chart.boxes for way in box.ways if way.dangers]
    assert told
    for way in told:
        assert all(said["spray"] == "yes" for said in way.answers)
        assert way.dangers[0].say.startswith("Stay out")


def test_equal_parts_are_drawn_once(charted):
    """Two answers that lead to the same box make one way of it."""
    chart = charted("one")
    for box in chart.boxes:
        targets = [(way.box, way.dangers) for way in box.ways if way.box]
        assert len(targets) == len(set(targets))


def test_a_chart_that_is_too_deep_is_refused_with_its_size(charted):
    with pytest.raises(TooDeepError) as refused:
        charted("one", 9)
    assert refused.value.boxes > MOST
    assert f"--depth {refused.value.fits}" in str(refused.value)


def test_answers_that_cannot_be_true_together_are_named(charted, knowledge):
    said = Evidence((Round((Answer("no-water", "no"),)),))
    with pytest.raises(UnchartedError) as refused:
        charted("one", 2, evidence=said)
    assert [each.about for each in refused.value.said] == ["no-water"]


def test_a_sure_cause_ends_the_chart(charted):
    """With the switch as good as proved there is nothing to look for."""
    found = (Answer("silence", "yes"), Answer("spray", "no"), Answer("humming", "no"))
    said = msgspec.structs.replace(NO_WATER, rounds=(Round((*NO_WATER.now.answers, *found)),))
    chart = charted("one", 2, evidence=said)
    assert chart.boxes == ()
    assert chart.end.why == "repair"
    assert chart.end.turns[0].repair == "replace-switch"
    assert chart.expected == pytest.approx(chart.repair_only)
