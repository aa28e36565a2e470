"""Of what stands twice the first stays, whoever reads."""

from msgspec.structs import replace

from faultnet.learning.fit.doubles import doubles_of, marks_of
from faultnet.learning.fit.fit import fit_to
from faultnet.learning.fit.fitted import fitted
from faultnet.learning.reading.where import Folder
from faultnet.learning.source import CasesAtHand
from faultnet.model.evidence import Answer
from faultnet.sharing.sharing import Here
from tests.learning.fit.cases import NOW, good, with_answers


def codes(*parts):
    found = doubles_of([marks_of(part) for part in parts])
    return [
        (each.part, each.number, each.first_part, each.first_number, each.code) for each in found
    ]


def test_the_same_id_in_another_part():
    assert codes([good("a"), good("b", 1)], [good("c", 2), good("a", 3)]) == [
        (1, 1, 0, 0, "same-id")
    ]


def test_the_same_case_under_another_id():
    assert codes([good("a")], [good("b")]) == [(1, 0, 0, 0, "same-content")]


def test_what_is_left_out_by_its_id_is_compared_no_further():
    assert codes([good("a"), good("a", 1), good("b", 1)]) == [(0, 1, 0, 0, "same-id")]


def test_short_cases_and_whole_days_may_be_alike():
    short = with_answers(good(), Answer("no-water", "yes"))
    day = replace(good(), opened="2026-03-04T00:00:00.000Z")
    for case in (short, day):
        assert codes([replace(case, id="a"), replace(case, id="b")]) == []


def test_nothing_read_has_nothing_twice():
    assert codes() == []
    assert codes([], []) == []


def test_the_first_stays_and_is_named(small):
    wrong = replace(good("a"), ending="nonsense")
    parts = (CasesAtHand((wrong, good("b", 1))), CasesAtHand((good("a"), good("b", 2), good("c"))))
    source = fitted(Folder(parts), fit_to(small.knowledge, NOW), Here())
    first, second = (part.read() for part in source.parts())
    assert [case.id for case in (*first.cases, *second.cases)] == ["b", "a"]
    assert [(each.case, each.code) for each in second.set_aside] == [
        ("b", "same-id"),
        ("c", "same-content"),
    ]
    assert second.set_aside[1].reason.endswith("a (case a)")


def test_as_many_workers_as_there_may_be_find_the_same(small):
    parts = tuple(CasesAtHand((good(f"a{k % 9}", k), good("b", k))) for k in range(17))
    fit = fit_to(small.knowledge, NOW)
    told = [
        [part.read() for part in fitted(Folder(parts), fit, Here(workers)).parts()]
        for workers in (1, 2)
    ]
    assert told[0] == told[1]
    # Each a once; the first b is the first a under another id, the others have its id.
    assert sum(len(read.cases) for read in told[0]) == 9
