"""What cases exercise, on knowledge small enough to be counted by hand."""

from pathlib import Path

import pytest

from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.review.coverage import KINDS, coverage

SMALL = Path(__file__).parents[1] / "authoring" / "knowledge"


@pytest.fixture(scope="module")
def covered():
    knowledge, _ = read_knowledge(SMALL)
    examples, _ = read_examples(SMALL, knowledge)
    return coverage(knowledge, examples)


def of(covered, kind):
    return {entry.id: set(entry.cases) for entry in covered if entry.kind == kind}


def test_every_kind_is_told_in_order(covered):
    assert list(dict.fromkeys(entry.kind for entry in covered)) == list(KINDS)


def test_causes_findings_and_checks(covered):
    both = {"leaking-valve", "still-leaking"}
    causes = of(covered, "cause")
    assert causes == {
        "foot-valve-leaks": both,
        "prime-lost": set(),
        "pipe-cracked": {"leaking-valve"},
    }
    findings = of(covered, "finding")
    assert findings["prime-falls"] == both
    assert findings["gauge-falls"] == {"leaking-valve"}  # by its reading
    assert findings["tingle"] == set()
    assert "found-foot-valve-leaks" not in str(findings)
    checks = of(covered, "check")
    assert checks["look-at-prime"] == both
    assert checks["hold-test"] == {"leaking-valve"}
    assert checks["lift-the-line"] == set()


def test_strengths_count_where_their_condition_can_hold(covered):
    strengths = of(covered, "strength")
    name = "foot-valve-leaks shows gauge-falls when source-level"
    assert strengths[f"{name}=below-pump"] == {"leaking-valve"}
    assert strengths[f"{name}=above-pump"] == set()
    assert strengths["foot-valve-leaks shows prime-falls"] == {"leaking-valve", "still-leaking"}
    assert strengths["no-water follows from no-sound"] == set()
    assert not any("found-" in name for name in strengths)


def test_layout_factors_and_dangers(covered):
    assert of(covered, "layout") == {
        "source-level=below-pump": {"leaking-valve"},
        "source-level=above-pump": set(),
        "supply=115": set(),
    }
    factors = of(covered, "likelier-when")
    assert factors["foot-valve-leaks likelier when source-level=below-pump"] == {"leaking-valve"}
    assert factors["pipe-cracked likelier when after-freeze=yes"] == set()
    assert of(covered, "danger") == {"tingle=yes": set()}


def test_each_has_its_place(covered):
    places = {entry.id: str(entry.place) for entry in covered}
    assert places["pipe-cracked"] == "knowledge/parts/suction.yaml:28:3"
    assert all(entry.place.line for entry in covered)
