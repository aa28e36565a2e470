"""Cases chosen, shared among processes, proved in order; which failed the last time."""

import shutil
from pathlib import Path

import pytest

from faultnet.advice.subject import UnknownNameError
from faultnet.authoring.examples import read_examples
from faultnet.authoring.store import load
from faultnet.review.last_time import failed_last_time, keep_failed
from faultnet.review.proofs import chosen, prove

SMALL = Path(__file__).parents[1] / "authoring" / "knowledge"
CASE = """
  - id: case-{number}
    system: jet-pump
    reason: One of many.
    given: {{prime-falls: {answer}}}
    expect: {{first: [foot-valve-leaks], at-least: {{foot-valve-leaks: 0.{number:02}}}}}
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_CACHE", str(tmp_path / "cache"))
    copy = tmp_path / "knowledge"
    shutil.copytree(SMALL, copy)
    cases = [CASE.format(number=k, answer=("slowly", "no")[k % 2]) for k in range(20)]
    (copy / "many.cases.yaml").write_text("from: judgement\ncases:" + "".join(cases))
    return copy


@pytest.fixture
def examples(folder):
    found, problems = read_examples(folder, load(folder))
    assert not problems
    return found


def test_several_processes_prove_the_same_in_the_same_order(folder, examples):
    alone = list(prove(load(folder), examples, 1))
    assert list(prove(load(folder), examples, 2)) == alone
    assert [proof.case for proof in alone] == [example.id for example in examples]
    assert {proof.passed for proof in alone} == {True, False}


def test_cases_are_chosen_by_system_id_part_and_last_time(examples):
    ids = [example.id for example in examples]
    assert [e.id for e in chosen(examples)] == ids
    assert [e.id for e in chosen(examples, ["jet-pump"])] == ids
    assert [e.id for e in chosen(examples, named=["case-1"])] == ["case-1"]
    assert [e.id for e in chosen(examples, named=["leaking"])] == ["leaking-valve", "still-leaking"]
    assert [e.id for e in chosen(examples, named=["case"], among={"case-3"})] == ["case-3"]
    with pytest.raises(UnknownNameError, match=r"no case `case-99`.*Did you mean"):
        chosen(examples, named=["case-99"])
    with pytest.raises(UnknownNameError, match="no system with cases `jet-pum`"):
        chosen(examples, ["jet-pum"])


def test_what_failed_is_known_the_next_time(folder):
    assert failed_last_time(folder) is None
    keep_failed(folder, ["a", "b", "c"], ["a", "b"])
    keep_failed(folder, ["b"], [])
    assert failed_last_time(folder) == {"a"}
    assert failed_last_time(folder.parent) is None


def test_without_a_cache_nothing_is_kept(folder, monkeypatch):
    monkeypatch.setenv("FAULTNET_CACHE", "")
    keep_failed(folder, ["a"], ["a"])
    assert failed_last_time(folder) is None


def test_a_damaged_memory_is_no_memory(folder):
    keep_failed(folder, ["a"], ["a"])
    (kept,) = (folder.parent / "cache").glob("failed-*.json")
    kept.write_text("not json")
    assert failed_last_time(folder) is None
