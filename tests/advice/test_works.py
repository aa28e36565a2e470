"""W, and what follows where a danger was made safe, against every joint state."""

import math
import shutil
from itertools import permutations
from pathlib import Path
from types import SimpleNamespace

import pytest

from faultnet.advice.observe import observe
from faultnet.advice.steps import LASTS, next_steps
from faultnet.advice.subject import make_subject
from faultnet.advice.works import Asked, Works, told_wrong
from faultnet.authoring.library import read_knowledge
from faultnet.inference.downsets import ALWAYS, Expander
from tests.advice.say import say
from tests.inference.reference import Goal
from tests.inference.test_query import (
    DANGERS,
    answer_count,
    answers_now,
    dangerous_case,
    has_weight,
    possible_follows,
    weighed,
)

CLOSE = 1e-9
MENDS = {"mend-0": (0,), "mend-1": (1,)}
SETS = [frozenset(), frozenset({"mend-0"}), frozenset({"mend-1"}), frozenset(MENDS)]
HERE = Path(__file__).parent


def mended(by, repairs):
    return frozenset(cause for repair in repairs for cause in by[repair])


@pytest.mark.parametrize("seed", range(DANGERS))
def test_w_after_every_answer_equals_brute_force(seed):
    """P(evidence and answer), and W then, with signs made safe, in one to three rounds."""
    network, observed, told = dangerous_case(seed)
    if not has_weight(network, observed):
        return
    now = observed.now
    free = [f for f in range(len(network.findings)) if (f, now) not in observed.findings]
    subject = SimpleNamespace(mended_by=MENDS)
    works = Works(subject, network, observed, tuple(told), tuple(MENDS), tuple(free))
    expander = Expander(works.before)
    asked = [(f, a) for f in free for a in range(answer_count(network.findings[f]))]
    terms = [ALWAYS, *(expander.answer(f, a) for f, a in asked)]
    ends = possible_follows(network, observed, told)
    every = weighed(network, observed)
    ended = [weighed(network, observed, Goal(ends, mended(MENDS, s))) for s in SETS]
    total = math.fsum(w for w, _ in every)

    def share(reference, about):
        return math.fsum(
            w
            for w, x in reference
            if about is None or answers_now(network, x, now)[about[0]] == about[1]
        )

    found = works.of_each([Asked(each, SETS) for each in terms])
    for about, (weight, chances) in zip([None, *asked], found, strict=True):
        wanted = share(every, about)
        assert weight / total == pytest.approx(wanted / total, abs=1e-12)
        if wanted > 1e-6 * total:
            left = [share(reference, about) / wanted for reference in ended]
            assert chances == pytest.approx(left, abs=CLOSE)


@pytest.fixture(scope="module")
def wet(tmp_path_factory):
    """A small system with a danger; what it shares with another one is taken from there."""
    folder = tmp_path_factory.mktemp("knowledge")
    for name in ("circumstances", "layout", "rates", "words"):
        shutil.copy(HERE / "knowledge-two-checks" / f"{name}.yaml", folder)
    shutil.copytree(HERE / "knowledge-made-safe", folder, dirs_exist_ok=True)
    knowledge, problems = read_knowledge(folder)
    assert not [p for p in problems if p.severity == "error"]
    return make_subject(knowledge, "wet-floor")


class ByHand:
    """Expected minutes where the trouble lasts, from every joint state."""

    def __init__(self, subject, evidence):
        self.subject = subject
        self.observed = observe(subject, evidence)
        told = told_wrong(subject, self.observed)
        self.ends = possible_follows(subject.network, self.observed, told)
        self.drip = subject.findings["drip"]
        self.all = self.lasting(None)

    def weight(self, drip, goal=None):
        return math.fsum(
            w
            for w, x in weighed(self.subject.network, self.observed, goal)
            if drip is None or (x.values[self.drip][0] > 0) == drip
        )

    def over(self, repairs, drip):
        goal = Goal(self.ends, mended(self.subject.mended_by, repairs))
        return self.weight(drip, goal)

    def lasting(self, drip):
        return self.weight(drip) - self.over((), drip)

    def price(self, repair):
        return self.subject.knowledge.repairs[repair].work.minutes.value

    def left(self, repairs, drip):
        """The chance that the trouble outlasts repairs, where it lasts at all."""
        return (self.weight(drip) - self.over(repairs, drip)) / self.lasting(drip)

    def sequence(self, order, drip=None):
        paid = sum(self.price(r) * self.left(order[:k], drip) for k, r in enumerate(order))
        return paid + 300.0 * self.left(order, drip)

    def best(self, drip=None, first=()):
        others = [r for r in self.subject.mended_by if r not in first]
        orders = [(*first, *o) for n in range(len(others) + 1) for o in permutations(others, n)]
        return min(self.sequence(order, drip) for order in orders)

    def look(self):
        return 2.0 + sum(self.lasting(drip) / self.all * self.best(drip) for drip in (False, True))


@pytest.mark.parametrize("more", [{}, {"taps_weak": "yes"}, {"taps_weak": "no"}])
@pytest.mark.parametrize("thorough", [False, True])
@pytest.mark.parametrize("made_safe", [("floor-wet",), ()])
@pytest.mark.parametrize("by", ["technician", "caller"])
def test_every_step_is_worth_what_every_joint_state_says(wet, more, thorough, made_safe, by):
    evidence = say(floor_wet="yes", made_safe=made_safe, by=by, **more)
    hand = ByHand(wet, evidence)
    steps = {s.id: s for s in next_steps(wet, evidence, thorough=thorough).steps}
    if not made_safe:
        assert list(steps) == ["make-safe-floor-wet"]
        assert steps["make-safe-floor-wet"].expected_total == pytest.approx(hand.best())
        return
    assert steps["look"].expected_total == pytest.approx(hand.look(), rel=CLOSE)
    for repair in wet.mended_by:
        if repair in steps:
            wanted = hand.best(first=(repair,))
            assert steps[repair].expected_total == pytest.approx(wanted, rel=CLOSE)
    assert steps["mend-pipe"].reason.startswith("Chance that this alone ends it")


@pytest.mark.parametrize("more", [{}, {"taps_weak": "yes"}])
def test_looking_further_ahead_weighs_answers_where_the_trouble_lasts(wet, more):
    """One check: the best plan is a repair-only one, or the look and the best after it."""
    evidence = say(floor_wet="yes", made_safe=("floor-wet",), **more)
    hand = ByHand(wet, evidence)
    plan = next_steps(wet, evidence, thorough=True, seconds=5.0).plan
    assert plan.expected == pytest.approx(min(hand.best(), hand.look()), rel=CLOSE)


def test_a_sign_that_came_of_itself_is_no_reason_to_mend_what_does_not_show_it(wet):
    """Some of the chance that it is over is none of a repair's doing."""
    evidence = say(floor_wet="yes", drip="no", made_safe=("floor-wet",))
    hand = ByHand(wet, evidence)
    steps = {s.id: s for s in next_steps(wet, evidence).steps}
    lasts = hand.all / hand.weight(None)
    assert lasts < LASTS
    tap = steps["renew-tap"]
    assert tap.expected_total >= 30.0 + hand.best()
    assert tap.reason == (
        f"Chance that this alone ends it: 0%. Chance that it is still there: {lasts:.0%}."
    )


def test_a_sign_without_danger_counts_though_it_came_of_itself(wet):
    """The tap's own sign: the share that shows with no cause goes to the specialist."""
    evidence = say(taps_weak="yes")
    hand = ByHand(wet, evidence)
    assert hand.over((), None) == 0.0
    steps = {s.id: s for s in next_steps(wet, evidence).steps}
    assert steps["renew-tap"].expected_total == pytest.approx(
        30.0 + 300.0 * hand.left(("renew-tap",), None), rel=CLOSE
    )
