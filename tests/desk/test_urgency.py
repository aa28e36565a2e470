"""Urgency against the classes of the trade, and the order of the board.

The rows are those of the priority classes that dispatchers use: P0 danger (tingle, smoke,
flooding onto wiring, over-pressure, person in tank), P1 no water and a need, P2 no water,
P3 degraded (cycling, low pressure, primed daily), P4 nuisance (noise, small drip). General
trade practice, no source.
"""

import pytest

from faultnet.cases.events import CallTold, Ended, MadeSafe, Opened, Told
from faultnet.desk.board import in_order, waiting
from faultnet.desk.urgency import TARGETS, urgency_of
from faultnet.visit.call_sheet import NEEDS
from tests.desk.conftest import CISTERN
from tests.visit.press import written

TOLD = {
    "P0": ["tingle", "burnt-smell", "water-in-pump-space", "over-cut-out", "someone-in-cistern"],
    "P2": ["no-water", "fades-to-nothing", "motor-silent", "never-shuts-off"],
    "P3": ["short-cycles-drawing", "weak-taps", "needs-priming-often", "starts-with-no-use"],
    "P4": ["bearing-squeal", "bang-at-stop", "drip-at-pump", "gravel-noise"],
}
ROWS = [(name, finding) for name, findings in TOLD.items() for finding in findings]
NEEDED = ["medical", "infant", "livestock", "fire", "freezing"]
"""The needs of P1 in that list."""


def urgency(call):
    return urgency_of(call.talk, call.at)


@pytest.mark.parametrize(("name", "finding"), ROWS)
def test_each_example_of_the_trade_has_its_class(begin, name, finding):
    found = urgency(begin(Told(finding, "yes")))
    assert found.id == name
    assert found.target == TARGETS[name]
    assert found.reason


@pytest.mark.parametrize("need", NEEDED)
def test_no_water_with_a_need_is_for_the_same_day(begin, need):
    found = urgency(begin(Told("no-water", "yes"), CallTold("need", need)))
    assert found.id == "P1"
    assert "same day" in found.target
    assert NEEDS[need].lower() in found.reason


def test_frost_makes_no_water_more_urgent(begin):
    assert urgency(begin(Told("no-water", "yes"), Told("after-freeze", "yes"))).id == "P1"


def test_a_need_alone_moves_nothing_that_works_badly(begin):
    assert urgency(begin(Told("weak-taps", "yes"), CallTold("need", "infant"))).id == "P3"


def test_a_danger_that_was_made_safe_is_still_the_first(begin):
    found = urgency(begin(Told("tingle", "yes"), MadeSafe("tingle")))
    assert found.id == "P0"
    assert "safe" in found.reason


def test_nothing_told_can_be_planned(begin):
    assert urgency(begin()).id == "P4"


def test_whoever_answers_it_last_decides(begin):
    assert urgency(begin(Told("no-water", "yes"), Told("no-water", "no"))).id == "P4"


def board(subject, *told):
    opened = Opened(CISTERN, "caller", "caller")
    logs = [written(opened, *events) for events in told]
    return [waiting(subject, entries) for entries in logs]


def test_the_board_is_in_order_of_urgency_then_of_waiting(subject):
    drip, older, newer, danger = board(
        subject,
        [Told("drip-at-pump", "yes")],
        [Told("no-water", "yes")],
        [Told("no-water", "yes")],
        [Told("tingle", "yes")],
    )
    assert older.since <= newer.since
    order = in_order([drip, newer, older, danger])
    assert [each.urgency.id for each in order] == ["P0", "P2", "P2", "P4"]
    assert order[0] == danger
    assert [each.since for each in order[1:3]] == sorted((older.since, newer.since))
    assert "P0 Danger: Tingle or shock; waits" in danger.reason(4e9)


def test_a_closed_case_is_not_on_the_board(subject):
    assert board(subject, [Told("no-water", "yes"), Ended("declined")]) == [None]
