"""Parts: needed where an item was fitted that serves as one, and a repair takes it."""

import pytest

from faultnet.advice.outfit import Outfitting
from faultnet.advice.subjects import Subjects
from faultnet.authoring.store import load
from faultnet.learning.closed import StepTaken
from faultnet.learning.measures.parts import parts_needed
from faultnet.model.evidence import Evidence, Round
from tests.learning.measures.cases import like


@pytest.fixture(scope="module")
def subject(request):
    subjects = Subjects(load(request.config.rootpath / "tests/advice/knowledge-to-load"))
    return subjects[next(iter(subjects.knowledge.systems))]


@pytest.fixture(scope="module")
def repair(subject):
    """A repair that takes a part which an item of the stock serves as."""
    offered = {name for item in subject.knowledge.stock.values() for name in item.provides}
    repairs = (subject.knowledge.repairs[name] for name in subject.mended_by)
    return next(each for each in repairs if set(each.parts) & offered)


def mended(repair, *parts, **changes):
    rounds = (Round(repairs=(repair.id,)), Round())
    steps = (StepTaken(repair.id, "repair"),)
    return like(evidence=Evidence(rounds), steps=steps, parts=parts, **changes)


def item_for(subject, part):
    return next(item.id for item in subject.knowledge.stock.values() if part in item.provides)


def test_a_part_was_needed_where_what_serves_as_it_was_fitted(subject, repair):
    offered = {n for item in subject.knowledge.stock.values() for n in item.provides}
    part = next(name for name in repair.parts if name in offered)
    grid = parts_needed(subject, mended(repair, item_for(subject, part)), Evidence())
    needs = Outfitting(subject, Evidence(), least=0.0).parts
    assert grid.count == len(needs)
    assert grid.hits.sum() >= 1
    assert grid.sums.sum() == pytest.approx(sum(need.repair for need in needs))


def test_what_no_repair_took_was_not_needed(subject, repair):
    other = next(
        item.id
        for item in subject.knowledge.stock.values()
        if not set(item.provides) & set(repair.parts)
    )
    assert parts_needed(subject, mended(repair, other), Evidence()).hits.sum() == 0


def test_where_no_part_was_noted_nothing_is_said(subject, repair):
    assert parts_needed(subject, mended(repair), Evidence()).count == 0


def test_where_nothing_was_mended_nothing_is_said(subject, repair):
    case = mended(repair, "anything", ending="referred")
    assert parts_needed(subject, case, Evidence()).count == 0
    assert parts_needed(subject, like(steps=(), evidence=Evidence()), Evidence()).count == 0
