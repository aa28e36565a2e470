"""Over cases, on the edge, in the next step, and drawn."""

from xml.etree import ElementTree as ET

import msgspec
import pytest

from faultnet.advice.authored import authored
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.drawing.margins import picture
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.example import Example, Expect
from faultnet.model.origin import NOWHERE
from faultnet.review.sensitivity import edge
from faultnet.review.sensitivity.case import Wanted, case_margins, nearest
from faultnet.review.sensitivity.cases import look, over_cases
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.doubt import beyond, deviation, distance
from faultnet.review.sensitivity.edge import on_edge
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import stand
from faultnet.review.sensitivity.steps import Stepping
from tests.review.sensitivity.test_margins import EVIDENCE, changed

WIDE = 3.0
"""Deviations that count as a small change here, where few numbers are."""


def example(name, evidence):
    return Example(name, "jet-pump", "A test.", evidence, Expect(), NOWHERE)


@pytest.fixture(scope="module")
def subject(knowledge):
    return make_subject(knowledge, "jet-pump")


@pytest.fixture(scope="module")
def examples():
    impossible = Evidence((Round((Answer("no-sound", "yes"), Answer("no-pressure", "yes"))),))
    told = {**EVIDENCE, "once more": EVIDENCE["caller"], "impossible": impossible}
    return [example(name, evidence) for name, evidence in told.items()]


@pytest.fixture(scope="module")
def asked(knowledge, examples):
    return over_cases(look(knowledge, examples))


def test_changes_add_up_over_cases(asked, knowledge, examples):
    assert asked.cases == len(examples) - 1
    assert asked.left_out == ("impossible",)
    assert asked.worth
    for worth in asked.worth:
        assert worth.changes == pytest.approx(sum(c.margin.chance for c in worth.cases))
        nears = [c.margin.nearest for c in worth.cases]
        assert nears == sorted(nears)
    order = [worth.changes for worth in asked.worth]
    assert order == sorted(order, reverse=True)
    twice = {c.case for w in asked.worth for c in w.cases}
    assert {"caller", "once more"} <= twice


def test_the_chance_of_a_change_is_that_of_being_off_so_far(asked):
    for worth in asked.worth:
        number = worth.number
        for case in worth.cases:
            flips = [f for f in (case.margin.low, case.margin.high) if f]
            far = [distance(number.kind, number.value, f.value) for f in flips]
            wanted = sum(beyond(d, deviation(number.number)) for d in far)
            assert case.margin.chance == pytest.approx(min(wanted, 1.0))


def test_a_published_number_is_less_in_doubt(subject):
    numbers = {a.about: a.number for a in authored(subject)}
    published = numbers["foot-valve-leaks: likelier when source-level is below-pump"]
    assert deviation(published) < deviation(numbers["foot-valve-leaks shows prime-falls=slowly"])
    # a normal deviate lies beyond 1.96 to one side once in forty times
    assert beyond(1.96 * 0.5, 0.5) == pytest.approx(0.025, abs=1e-4)


def test_numbers_on_edge_are_those_near_in_several_cases(asked, knowledge, examples, monkeypatch):
    monkeypatch.setattr(edge, "SMALL", WIDE)
    problems = on_edge(knowledge, examples)
    near = {
        str(w.number.number.origin)
        for w in asked.worth
        if sum(c.margin.nearest <= WIDE * deviation(w.number.number) for c in w.cases) > 1
        and {"judgement", "memory"} & set(w.number.number.provenance)
    }
    assert near
    assert {str(p.origin) for p in problems} == near
    assert {(p.severity, p.code) for p in problems} == {("warning", "number-on-edge")}
    assert all("first in" in p.message and "comes before" in p.hint for p in problems)


def test_without_cases_nothing_is_on_edge(knowledge):
    assert on_edge(knowledge, []) == ()


@pytest.fixture(scope="module")
def stepping(knowledge, subject):
    evidence = EVIDENCE["technician"]
    common = Common(subject)
    margins = Margins(stand(subject, evidence), common).all_of(authored(subject))
    return Stepping(common, evidence), Stepping(common, evidence).margins(margins)


def test_another_step_is_advised_past_its_place_and_not_before(knowledge, stepping):
    asked, found = stepping
    first = asked.base.steps[0].id
    assert found.first.id == first
    assert {m.number.kind for m in found.margins} >= {"minutes", "chance"}
    flips = [(m, f, s) for m in found.margins for f, s in ((m.low, -1), (m.high, 1)) if f]
    assert flips
    for margin, flip, side in flips:
        off = 0.002 if margin.solved else 0.05
        short, past = (flip.value * (1.0 + side * x) for x in (-off, off))
        told = [
            next_steps(
                make_subject(changed(knowledge, [margin.number.number], value), "jet-pump"),
                asked.evidence,
            )
            .steps[0]
            .id
            for value in (short, past)
        ]
        assert told[0] == first, margin.number.about
        assert told[1] != first, margin.number.about


def test_no_time_leaves_numbers_and_says_so(subject):
    asked = Stepping(Common(subject), EVIDENCE["technician"])
    found = asked.margins([], seconds=-1.0)
    assert found.margins == ()
    assert found.left > 0


def test_impossible_evidence_is_told(subject, examples):
    evidence = next(e.evidence for e in examples if e.id == "impossible")
    assert case_margins(subject, evidence, Wanted()).conflict
    assert nearest(subject, evidence) == ()


def test_few_numbers_of_a_case_in_little_time(subject):
    found = nearest(subject, EVIDENCE["caller"])
    assert 1 <= len(found) <= 3
    assert all(m.low or m.high for m in found)


def test_the_picture_has_a_bar_for_each_number_and_is_sound(subject):
    found = case_margins(subject, EVIDENCE["caller"], Wanted())
    drawn = picture("A <pump>", "Cause & effect", found.margins, found.reach)
    root = ET.fromstring(drawn)  # noqa: S314 - our own text
    space = "{http://www.w3.org/2000/svg}"
    bars = [r for r in root.iter(f"{space}rect") if r.get("class") == "bar"]
    assert len(bars) == len(found.margins) > 2
    texts = [text.text for text in root.iter(f"{space}text")]
    assert "First now: Cause & effect" in texts
    for margin, bar in zip(found.margins, bars, strict=True):
        assert any(t and margin.number.about.startswith(t) for t in texts)
        left, width = float(bar.get("x")), float(bar.get("width"))
        assert left <= (400 + 930) / 2 + 0.1
        assert left + width >= (400 + 930) / 2 - 0.1
    ends = [e for e in root.iter(f"{space}line") if e.get("class") == "end"]
    assert len(ends) == sum(f is not None for m in found.margins for f in (m.low, m.high))


def test_margins_are_told_as_plain_values(subject):
    from faultnet.shapes.margins import margins_shape
    from faultnet.shapes.plain import plain

    found = case_margins(subject, EVIDENCE["caller"], Wanted(words=True, next_step=True))
    told = plain(margins_shape("jet-pump", found))
    assert told["margins"][0]["number"]["place"].startswith("knowledge/")
    assert told["words"]
    assert told["next"]["first"] == found.next.first.id
    assert msgspec.json.encode(told)
