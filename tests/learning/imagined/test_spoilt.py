"""What is spoilt on purpose is set aside, each under its code, and as often as it was spoilt."""

from collections import Counter

import pytest

from faultnet.learning.altered.truth import truth_of
from faultnet.learning.fit.fit import fit_to
from faultnet.learning.fit.fitted import fitted
from faultnet.learning.imagined.cases import imagined_cases, recipe
from faultnet.learning.imagined.spoilt import BY_CODE, KINDS, Spoiling, write_spoilt
from faultnet.learning.reading.where import source_of
from faultnet.sharing.sharing import Here

NOW = "2026-01-01T00:00:00Z"


@pytest.fixture(scope="module")
def truth(request):
    return truth_of(str(request.config.rootpath / "tests/review/knowledge"), "pump")


def test_every_kind_is_counted_and_set_aside(truth, tmp_path):
    subject = truth.known()
    spoiling = Spoiling(cause=next(iter(subject.knowledge.causes)), share=0.3, seed=2)
    path = tmp_path / "closed.jsonl"
    cases = list(imagined_cases(recipe(truth, seed=4), 0, 300))
    counts = write_spoilt(path, cases, spoiling)
    assert all(counts[kind] for kind in KINDS)
    assert counts["lines"] == 300 + counts["twice"] + counts["copied"]
    source = fitted(
        source_of(str(path), subject.knowledge),
        fit_to(subject.knowledge, NOW),
        Here(),
        weighed=False,
    )
    batches = [part.read() for part in source.parts()]
    kept = [case for batch in batches for case in batch.cases]
    aside = Counter(each.code for batch in batches for each in batch.set_aside)
    assert aside == Counter({BY_CODE[kind]: counts[kind] for kind in KINDS})
    untouched = {c.id for n, c in enumerate(cases) if spoiling.kind(n) in {"", "twice", "copied"}}
    assert {case.id for case in kept} == untouched


def test_one_in_a_hundred_is_spoilt_whatever_is_beside_it():
    spoiling = Spoiling(cause="", seed=7)
    kinds = [spoiling.kind(number) for number in range(6000)]
    assert 35 < sum(map(bool, kinds)) < 90
    assert kinds[200:] == [spoiling.kind(number) for number in range(200, 6000)]
