"""What a visit needs and what to load, against every joint state of a small world."""

from pathlib import Path

import msgspec
import pytest

from faultnet.advice.load import FirstVisit, usual_truck
from faultnet.advice.observe import observe
from faultnet.advice.outfit import Outfitting
from faultnet.advice.reached import reached, ways
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.model.evidence import Evidence
from tests.advice.say import say
from tests.inference.reference import likelihood, worlds

KNOWLEDGE = Path(__file__).with_name("knowledge-to-load")
EVIDENCE = [
    Evidence(),
    say(by="caller", no_water="yes"),
    say(by="caller", no_water="yes", hiss="yes", silent="no"),
    say(no_water="yes", hiss="no", silent="yes"),
]


@pytest.fixture(scope="module")
def small():
    knowledge, problems = read_knowledge(KNOWLEDGE)
    assert knowledge is not None, problems
    return make_subject(knowledge, "three-faults")


def chance(subject, evidence, holds):
    """P(holds | evidence), world by world."""
    observed = observe(subject, evidence)
    total = found = 0.0
    for world in worlds(subject.network, observed):
        weight = world.weight * likelihood(subject.network, observed, world)
        total += weight
        found += weight * holds(world)
    return found / total


def present(subject, *causes):
    return lambda world: any(world.present(subject.causes[c], 0) for c in causes)


def repair_chances(needs):
    return {need.id: need.repair for need in needs}


@pytest.mark.parametrize("evidence", EVIDENCE)
def test_needs_are_those_of_every_joint_state(small, evidence):
    outfit = Outfitting(small, evidence)
    pipe = chance(small, evidence, present(small, "pipe-split", "joint-leaks"))
    split = chance(small, evidence, present(small, "pipe-split"))
    joint = chance(small, evidence, present(small, "joint-leaks"))
    wire = chance(small, evidence, present(small, "wire-broken"))
    near = pytest.approx
    assert repair_chances(outfit.parts) == near({"pipe": pipe, "union": joint, "wire": wire})
    assert repair_chances(outfit.tools) == near({"saw": split})
    assert repair_chances(outfit.people) == near({"technician": pipe, "qualified": wire})
    assert repair_chances(outfit.items) == near(
        {"saws": split, "pipes": pipe, "unions": joint, "wires": wire}
    )
    assert repair_chances(outfit.lead_times) == near({"wire-comes": wire, "marks": split})
    assert outfit.chance(["mend-pipe", "renew-wire"]) == near(
        chance(small, evidence, present(small, "pipe-split", "wire-broken"))
    )


def test_a_part_of_two_repairs_is_not_the_sum_of_both(small):
    outfit = Outfitting(small, EVIDENCE[1])
    parts = repair_chances(outfit.parts)
    tools = repair_chances(outfit.tools)
    assert tools["saw"] < parts["pipe"] < tools["saw"] + parts["union"] - 0.01


def test_tools_of_the_first_checks_are_needed_as_often_as_the_plan_comes_to_them(small):
    outfit = Outfitting(small, EVIDENCE[1], {"listen": 0.8})
    trumpet = next(need for need in outfit.tools if need.id == "ear-trumpet")
    assert (trumpet.repair, trumpet.check, trumpet.probability) == (0.0, 0.8, 0.8)
    assert next(n for n in outfit.items if n.id == "saws").probability == 0.8


ONLY_NO_WATER = [*EVIDENCE[:2], say(no_water="yes", hiss="no", silent="no")]
"""Nothing but the faults stops the water; a hiss is also heard with none of them."""
ALL = frozenset(("saws", "pipes", "unions", "wires"))


@pytest.mark.parametrize("evidence", ONLY_NO_WATER)
@pytest.mark.parametrize(
    ("load", "people", "left"),
    [
        (ALL, ("technician",), ("wire-broken",)),
        (ALL, ("technician", "qualified"), ()),
        (ALL - {"pipes"}, ("qualified",), ("pipe-split", "joint-leaks")),
        (frozenset(("pipes", "unions")), ("technician",), ("pipe-split", "wire-broken")),
        (frozenset[str](), ("technician",), ("pipe-split", "joint-leaks", "wire-broken")),
    ],
)
def test_first_visit_fix_is_that_nothing_else_stops_the_water(small, evidence, load, people, left):
    visit = FirstVisit(Outfitting(small, evidence), people)
    expected = 1.0 - chance(small, evidence, present(small, *left, "unlisted"))
    assert visit.first_visit_fix(load) == pytest.approx(expected)


def test_what_is_worth_its_trouble_is_loaded_and_nothing_else(small):
    evidence = EVIDENCE[1]
    visit = FirstVisit(Outfitting(small, evidence))
    loading = visit.best(usual_truck(small))
    assert usual_truck(small) == {"saws"}
    names = {item for added in loading.added for item in added.items}
    assert names == {"pipes", "unions"}, "wire has to be ordered, and is for somebody else"
    load, fix = usual_truck(small), loading.begin
    for added in loading.added:
        load |= set(added.items)
        assert visit.first_visit_fix(load) == pytest.approx(added.fix)
        assert added.fix - fix == pytest.approx(added.gain)
        assert added.gain * visit.second_trip > added.minutes
        fix = added.fix
    assert loading.fix == pytest.approx(loading.most)


def test_greater_trouble_leaves_it_behind(small):
    knowledge = small.knowledge
    carrying = dict(knowledge.rates.carrying)
    carrying["heavy"] = msgspec.structs.replace(carrying["heavy"], value=80.0)
    rates = msgspec.structs.replace(knowledge.rates, carrying=carrying)
    dear = msgspec.structs.replace(small, knowledge=msgspec.structs.replace(knowledge, rates=rates))
    assert FirstVisit(Outfitting(dear, EVIDENCE[1])).best(usual_truck(dear)).added == ()


def test_ways_through_a_plan_add_up(subject):
    evidence = say(by="caller", no_water="yes")
    plan = next_steps(subject, evidence, whole=True).plan
    found = list(ways(plan.first))
    assert sum(chance for _, chance, _ in found) == pytest.approx(1.0, abs=1e-4)
    assert sum(c * m for _, c, m in found) == pytest.approx(plan.expected, rel=1e-3)
    assert reached(plan.first)[plan.first.step.id] == pytest.approx(1.0, abs=1e-4)
    assert max(reached(plan.first).values()) <= 1.0 + 1e-9
