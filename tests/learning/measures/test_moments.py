"""What was known at the call and before the repair: no word of what came out later."""

from faultnet.learning.closed import Confirmation, StepTaken
from faultnet.learning.measures.moments import at_call, before_repair, seen_before, true_causes
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from tests.learning.measures.cases import FOOT_VALVE, like

FOUND = "found-foot-valve-leaks-by-lift-the-line"
LIFTED = StepTaken("lift-the-line", "check", 0, 20.0)


def findings(evidence):
    return [answer.finding for answer in evidence.now.answers]


def test_at_the_call_only_the_caller_has_spoken(knowledge):
    assert findings(at_call(knowledge, FOOT_VALVE)) == ["no-pressure"]


def test_what_a_check_at_the_site_showed_of_the_layout_was_not_known_at_the_call(knowledge):
    assert at_call(knowledge, FOOT_VALVE).layout == {}
    told = at_call(knowledge, like(steps=()))
    assert told.layout == {"source-level": "below-pump"}
    assert at_call(knowledge, FOOT_VALVE).circumstances == {"after-freeze": False}


def test_a_check_by_the_caller_is_no_visit(knowledge):
    heard = like(steps=(StepTaken("listen", "check", 0),))
    assert at_call(knowledge, heard).circumstances == {"after-freeze": False}


def test_nobody_had_called_where_no_caller_spoke(knowledge):
    seen = Evidence((Round((Answer("no-pressure", "yes"),)),))
    assert at_call(knowledge, like(evidence=seen)) is None
    assert findings(at_call(knowledge, like(evidence=seen, trips=0))) == ["no-pressure"]


def test_what_was_seen_while_mending_was_not_known_before(knowledge):
    before = before_repair(knowledge, FOOT_VALVE)
    assert findings(before) == ["no-pressure", "prime-falls"]
    assert before.now.repairs == ()
    assert len(before.rounds) == 1
    assert not seen_before(knowledge, FOOT_VALVE)


def test_what_a_check_found_was_known_before(knowledge):
    case = like(steps=(LIFTED,))
    assert FOUND in findings(before_repair(knowledge, case))
    assert seen_before(knowledge, case)
    late = like(steps=(StepTaken("lift-the-line", "check", 1),))
    assert FOUND not in findings(before_repair(knowledge, late))
    assert not seen_before(knowledge, late)


def test_readings_of_the_first_round_count_before_the_repair_alone(knowledge):
    hold = Taken("hold", {"start": 50.0, "end": 44.0, "minutes": 15.0})
    round_ = Round((Answer("no-pressure", "yes", "caller"),), (hold,))
    case = like(evidence=Evidence((round_,)))
    assert before_repair(knowledge, case).now.taken == (hold,)
    assert at_call(knowledge, case).now.taken == ()


def test_what_a_repair_brought_in_was_not_there_at_first(knowledge):
    rounds = (Round(repairs=("renew-foot-valve",)), Round(repairs=("prime-again",)), Round())
    late = (Confirmation("foot-valve-leaks", 0), Confirmation("prime-lost", 1))
    case = like(evidence=Evidence(rounds), confirmed=late)
    assert true_causes(knowledge, case) == {"foot-valve-leaks"}
    first = like(evidence=Evidence(rounds), confirmed=(Confirmation("prime-lost", 0),))
    assert true_causes(knowledge, first) == {"prime-lost"}
    other = like(evidence=Evidence((Round(repairs=("prime-again",)), Round())), confirmed=late)
    assert true_causes(knowledge, other) == {"foot-valve-leaks", "prime-lost"}
