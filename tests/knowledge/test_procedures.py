"""The shipped procedures: what every one must have, and which valve none may shut.

The list is that of the trade's usual jobs at such a pump (common practice, no source).
"""

import re

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.shipped import shipped_folder

WANTED = {
    "disinfect-and-sample",
    "freeze-up",
    "hold-test-step-by-step",
    "leak-search",
    "lock-out",
    "precharge",
    "priming",
    "purge",
    "restart",
    "breaker-by-phone",
    "empty-cistern-by-phone",
    "lever-by-phone",
    "open-tap-by-phone",
    "switched-off-by-phone",
}
ON_LIVE_PUMP = {"restart"}
"""The one procedure that works the valve between pump and tank with the power on."""


@pytest.fixture(scope="module")
def knowledge():
    found, problems = read_knowledge(shipped_folder())
    assert not problems
    return found


def test_all_are_there(knowledge):
    assert set(knowledge.procedures) == WANTED


@pytest.mark.parametrize("name", sorted(WANTED))
def test_each_has_limits_stops_cautions_and_a_way_to_leave(knowledge, name):
    procedure = knowledge.procedures[name]
    assert procedure.before
    assert procedure.after
    assert any(step.limit for step in procedure.steps)
    assert sum(bool(step.stop_when) for step in procedure.steps) >= 3
    assert sum(bool(step.caution) for step in procedure.steps) >= 3


@pytest.mark.parametrize("name", sorted(WANTED))
def test_each_number_has_a_provenance_and_each_wait_something_to_look_at(knowledge, name):
    for step in knowledge.procedures[name].steps:
        assert all(number.provenance for number in step.limit.values())
        if step.limit.get("minutes") and step.limit["minutes"].value >= 10:
            assert step.meanwhile, step.do


@pytest.mark.parametrize("name", sorted(WANTED - ON_LIVE_PUMP))
def test_no_other_shuts_the_valve_between_pump_and_tank_with_the_power_on(knowledge, name):
    procedure = knowledge.procedures[name]
    locked = False
    for step in procedure.steps:
        locked = locked or bool(re.search(r"[Ll]ock the power out", step.do))
        if re.search(r"[Ss]hut the valve between pump", step.do):
            assert locked
            assert "power locked out" in step.caution


def test_the_hold_test_takes_the_whole_reading(knowledge):
    steps = knowledge.procedures["hold-test-step-by-step"].steps
    taken = [part for step in steps for part in step.takes.get("hold", ())]
    assert taken == ["start", "end", "minutes"] == list(knowledge.readings["hold"].required)
