"""The replay of the field cases counts what it does, at the prices of the knowledge files.

The accounts are those of `field-cases.yaml`, each with its source; the minutes are judgement.
"""

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.cases.events import MadeSafe, RepairDone, SetUpMade, StepDone, Told
from tests.outside.field_cases import read_field_cases
from tests.outside.field_policies import SPECIALIST, by_visit, in_order, most_probable_first
from tests.outside.field_world import world_of

PLAYED = ("b29-cottage-bladder", "b43-switch-quits-mid-wash")


@pytest.fixture(scope="module", autouse=True)
def _shipped_and_nothing_kept():
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", "")
        patch.delenv("FAULTNET_KNOWLEDGE", raising=False)
        yield


@pytest.fixture(scope="module", params=PLAYED)
def world(request):
    return site_of(request.param)


def site_of(name):
    case = next(case for case in read_field_cases() if case.id == name)
    return world_of(make_subject(load(shipped_folder()), case.system), case)


def minutes_of(knowledge, event):
    """What one event of a visit costs: reckoned here from the files, set-ups as they are made."""
    rates = knowledge.rates
    work, more = None, 0.0
    match event:
        case SetUpMade((name,)):
            who = name.removeprefix("called:")
            if who != name:
                return rates.calls[who].minutes.value
            return knowledge.set_ups[name].make.value + knowledge.set_ups[name].undo.value
        case StepDone(step):
            work = knowledge.checks[step].work
        case RepairDone(repair):
            entry = knowledge.repairs[repair]
            work = entry.work
            more = entry.proof_minutes.value + rates.disinfection[entry.disinfect].value
        case _:
            return 0.0
    return work.minutes.value + work.waiting.value * rates.waiting_share.value + more


def test_a_visit_takes_the_steps_and_minutes_that_its_events_tell(world):
    run, visit = by_visit(world)
    done = [
        getattr(e, "step", getattr(e, "repair", ""))
        for e in visit.events
        if isinstance(e, StepDone | RepairDone)
    ]
    assert [step.id for step in run.taken if step.id != SPECIALIST] == done
    spent = sum(minutes_of(world.subject.knowledge, event) for event in visit.events)
    handed = run.specialist * (run.taken[-1].id == SPECIALIST)
    assert run.minutes == pytest.approx(spent + handed)
    assert run.mended == bool(world.mending & set(done))


def test_water_that_was_made_safe_does_not_hand_over_a_weak_pump():
    """No cause of the water was found: what it does not explain is still looked for."""
    run, visit = by_visit(site_of("b21-one-pole-tripped"))
    assert MadeSafe("water-in-pump-space") in visit.events
    assert run.mended
    assert SPECIALIST not in [step.id for step in run.taken]
    assert run.minutes < run.specialist


def test_the_site_answers_what_the_account_tells(world):
    told = world.case.given
    assert told.items() <= world.answers.items()
    assert world.case.layout.items() <= world.answers.items()
    _, visit = by_visit(world)
    said = [event for event in visit.events if isinstance(event, Told)]
    assert told.keys() <= {event.about for event in said}
    assert all(event.answer == world.answers[event.about] for event in said)


def test_a_true_cause_is_found_by_the_check_that_looks_for_it(world):
    (cause,) = world.case.cause
    knowledge = world.subject.knowledge
    looks = {c for c in knowledge.checks if world.found_by(c)}
    assert looks
    for check in looks:
        assert {
            knowledge.findings[f].found_cause
            for f in knowledge.checks[check].reveals
            if f in knowledge.findings
        } >= {cause}


@pytest.mark.parametrize("play", [most_probable_first, lambda w: in_order(w, cheapest=True)])
def test_the_others_stop_once_a_true_cause_is_mended(world, play):
    run = play(world)
    ids = [step.id for step in run.taken]
    assert run.mended == (ids[-1] in world.mending)
    assert run.mended or ids[-1] == SPECIALIST
    assert len(set(ids)) == len(ids)
    assert sum(step.minutes for step in run.taken[:-1]) < 2 * run.specialist
    assert run.minutes_known <= run.minutes
