"""Whole calls: what every policy is held to."""

import pytest
from msgspec.structs import replace

from faultnet.advice.subject import Subject
from faultnet.learning.trials.call import NoCallError, begin, run_call
from faultnet.learning.trials.customs import Customs
from faultnet.learning.trials.policies.habit import Plain
from faultnet.learning.trials.policies.named import POLICIES, policy_of
from faultnet.learning.trials.policy import HAND_OVER, Chosen
from faultnet.learning.trials.visit import Visit

NAMES = tuple(POLICIES)
CALLS = 8


class Scripted(Plain, frozen=True):
    """Picks what is written, whoever is there."""

    picks: tuple[Chosen, ...]

    def next(self, at):
        done = len(at.checked) + len(at.repaired)
        return self.picks[done] if done < len(self.picks) else HAND_OVER


def outcomes(policy, house, calls=CALLS, customs=None, seed=5):
    customs = customs or Customs()
    return [run_call(policy, house, house, seed, n, customs) for n in range(calls)]


@pytest.fixture(scope="module")
def all_outcomes(house):
    return {name: outcomes(policy_of(name), house) for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_every_call_ends_mended_or_handed_over(all_outcomes, name):
    for done in all_outcomes[name]:
        assert done.specialist == bool(done.left)
        assert done.trips == 0 or not done.by_phone
        assert done.minutes >= sum(step.minutes for step in done.steps)
        before = [s for s in done.steps if s.kind != "specialist"]
        assert sum(s.minutes for s in before[:-1]) < 300.0


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_done_that_is_not_theirs_to_do(all_outcomes, house, name):
    knowledge = house.knowledge
    for done in all_outcomes[name]:
        assert not done.barred
        for step in (s for s in done.steps if s.phone):
            work = knowledge.checks[step.id].work if step.kind == "check" else None
            work = work or knowledge.repairs[step.id].work
            assert work.who == "caller"


def test_the_same_calls_for_all(all_outcomes):
    first = [(o.causes, o.complaint) for o in all_outcomes[NAMES[0]]]
    assert all([(o.causes, o.complaint) for o in all_outcomes[n]] == first for n in NAMES)


def test_perfect_knowledge_costs_least(all_outcomes):
    least = sum(o.minutes for o in all_outcomes["all-knowing"])
    assert all(sum(o.minutes for o in done) >= least for done in all_outcomes.values())


def test_the_tool_costs_less_than_repairs_alone(all_outcomes):
    mean = {name: sum(o.minutes for o in done) / CALLS for name, done in all_outcomes.items()}
    assert mean["one-step"] < mean["most-probable"]


def test_who_asks_the_same_gets_the_same_answer(house):
    one, other = (
        Scripted("scripted", (Chosen("check", first), Chosen("check", second)))
        for first, second in (("listen", "look-round"), ("look-round", "listen"))
    )
    customs = Customs(phone=False)
    for a, b in zip(
        outcomes(one, house, 20, customs), outcomes(other, house, 20, customs), strict=True
    ):
        assert {(x.finding, x.answer) for x in a.evidence.rounds[0].answers} == {
            (x.finding, x.answer) for x in b.evidence.rounds[0].answers
        }


def test_a_call_again_is_the_same(house):
    policy = policy_of("one-step")
    assert outcomes(policy, house, 10) == outcomes(policy_of("one-step"), house, 10)


def test_what_is_not_on_the_truck_is_fetched_once(house):
    policy = Scripted("scripted", (Chosen("repair", "mend-pipe"), Chosen("repair", "mend-pipe")))
    done = [o for o in outcomes(policy, house, 60, Customs(phone=False)) if not o.specialist]
    assert done
    for each in done:
        assert each.trips == 2
        assert each.minutes == sum(s.minutes for s in each.steps) + 40.0 + 60.0


def test_a_repair_may_fail_and_bring_a_fault_in(house):
    policy = Scripted("scripted", tuple([Chosen("repair", "mend-pipe")] * 3))
    done = [
        o for o in outcomes(policy, house, 200, Customs(phone=False)) if o.causes == ("pipe-split",)
    ]
    first = [bool(o.steps[0].mended) for o in done]
    assert 0.75 < sum(first) / len(first) < 0.99


def test_a_step_that_is_not_theirs_is_barred(house):
    policy = Scripted("scripted", (Chosen("repair", "mend-pipe"),))
    done = outcomes(policy, house, 20, Customs(asks=5))
    assert all(not s.phone for o in done for s in o.steps if s.id == "mend-pipe")
    assert any(o.barred for o in done)


def test_a_caller_who_always_says_no_does_nothing(house):
    done = outcomes(policy_of("all-knowing"), house, 40, Customs(refuses=1.0))
    willing = outcomes(policy_of("all-knowing"), house, 40, Customs(refuses=0.0))
    assert not any(s.phone for o in done for s in o.steps)
    assert any(o.by_phone for o in willing)


def test_a_danger_is_made_safe_before_the_next_step(house):
    policy = Scripted("scripted", (Chosen("check", "listen"), Chosen("repair", "tighten-wire")))
    done = outcomes(policy, house, 60, Customs(phone=False))
    tingled = [
        o
        for o in done
        if any((a.finding, a.answer) == ("tingle", "yes") for a in o.evidence.rounds[0].answers)
    ]
    assert tingled
    for each in tingled:
        assert len(each.steps) > 1
        assert each.made_safe
        assert "tingle" in each.evidence.made_safe


def test_a_cause_that_the_files_do_not_hold(house):
    causes = tuple(
        replace(c, probability=0.0) if c.id == "wire-loose" else c for c in house.network.causes
    )
    thinks = Subject(house.knowledge, house.system, replace(house.network, causes=causes))
    found = [run_call(policy_of("per-minute"), thinks, house, 5, n) for n in range(60)]
    assert [o.causes for o in found] == [begin(house, house, 5, n).causes for n in range(60)]
    missing = [o for o in found if o.causes == ("wire-loose",)]
    assert missing
    assert all(o.specialist for o in missing)


def test_what_is_too_much_at_once_is_handed_over(house):
    done = outcomes(policy_of("most-telling"), house, 10, Customs(cells=1))
    assert all([s.kind for s in o.steps] == ["specialist"] for o in done)


def test_a_system_that_nobody_calls_about(house):
    findings = {k: replace(f, urgency="") for k, f in house.knowledge.findings.items()}
    silent = Subject(replace(house.knowledge, findings=findings), house.system, house.network)
    with pytest.raises(NoCallError, match="urgency"):
        begin(silent, silent, 1, 1)


def test_a_visit_is_over_only_when_what_comes_and_goes_is_mended(house):
    for number in range(200):
        begun = begin(house, house, 9, number)
        if begun.complaints == ("comes-and-goes",) and begun.causes == ("joint-leaks",):
            break
    done = Visit(Scripted("scripted", (Chosen("repair", "lift-lever"),)), house, house, begun).go()
    assert done.specialist
    assert done.left == ("joint-leaks",)
