"""The layout questions that matter, each of which may be skipped."""

from dataclasses import replace

from tests.visit.press import labels, press


def test_the_weightiest_comes_first_and_the_weightless_last(fresh):
    order = fresh.talk.subject.weightiest
    assert order == ("check-valve", "tank", "supply")


def test_a_layout_with_one_possible_value_is_not_asked(shipped, fresh):
    talk = replace(fresh.talk, subject=shipped)
    assert "jet" not in talk.subject.weightiest
    assert {"check-valve", "source-level", "switch", "tank"} == set(talk.subject.weightiest[:4])


def test_values_by_number(fresh):
    visit = press(fresh, "n")
    assert labels(visit.turn)[:2] == ["Foot valve", "In the line"]
    visit = press(visit, "2")
    assert visit.at.evidence.layout == {"check-valve": "in-line"}
    assert visit.turn.heading == "The installation, 2 of 3"


def test_not_known_goes_on_to_the_next(fresh):
    visit = press(fresh, "n", "?", "?", "?")
    assert visit.at.evidence.layout == {}
    assert visit.turn.kind == "seen"


def test_all_can_be_skipped(fresh):
    assert press(fresh, "n", "s").turn.kind == "seen"
