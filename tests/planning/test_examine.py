"""Problems that cannot be planned: every fault told at once, with place, reason and mend."""

import math
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from faultnet.planning.belief import start
from faultnet.planning.planner import Exact
from faultnet.planning.problem import Check, Problem, Repair, SetUp, one_fault, several_faults
from faultnet.planning.unfit import UnfitProblemError

ROWS = {"no": (0.9, 0.2), "yes": (0.1, 0.8)}
CHECK = Check("look", 5.0, ROWS)
REPAIR = Repair("mend", 20.0, {"a": 1.0})
SET_UP = SetUp("cover-off", 5.0)
FIT = Problem(one_fault({"a": 0.5, "b": 0.5}), (CHECK,), (REPAIR,), (SET_UP,), 100.0)


def but(entry, **fields):
    return msgspec.structs.replace(entry, **fields)


def check(**fields):
    return but(FIT, checks=(but(CHECK, **fields),))


def repair(**fields):
    return but(FIT, repairs=(but(REPAIR, **fields),))


UNFIT = {
    "cost missing": (check(cost=None), "check look, cost"),
    "cost zero": (repair(cost=0.0), "repair mend, cost"),
    "cost negative": (check(cost=-1.0), "check look, cost"),
    "cost infinite": (repair(cost=math.inf), "repair mend, cost"),
    "cost not a number": (check(cost=math.nan), "check look, cost"),
    "cost a word": (check(cost="five"), "check look, cost"),
    "set-up negative": (but(FIT, set_ups=(SetUp("s", -1.0),)), "set-up s, make"),
    "set-up undone for nan": (but(FIT, set_ups=(SetUp("s", 1.0, math.nan),)), "set-up s, undo"),
    "fall-back negative": (but(FIT, fall_back=-5.0), "fall-back, cost"),
    "fall-back infinite": (but(FIT, fall_back=math.inf), "fall-back, cost"),
    "worlds do not sum": (but(FIT, worlds=one_fault({"a": 0.5, "b": 0.4})), "worlds"),
    "world negative": (but(FIT, worlds=one_fault({"a": 1.5, "b": -0.5})), "world {a}"),
    "world nan": (but(FIT, worlds=one_fault({"a": math.nan, "b": 0.5})), "world {a}"),
    "no worlds": (but(FIT, worlds={}), "worlds"),
    "nothing wrong": (but(FIT, worlds={frozenset(): 0.5, frozenset("a"): 0.5}), "world {}"),
    "worlds of words": (but(FIT, worlds={"a": 1.0}), "worlds"),
    "worlds a list": (but(FIT, worlds=[1.0]), "worlds"),
    "answers do not sum": (
        check(answers={"no": (0.9, 0.2), "yes": (0.1, 0.7)}),
        "check look, answers, world {b}",
    ),
    "answers too short": (
        check(answers={"no": (0.9,), "yes": (0.1, 0.8)}),
        "check look, answers, no",
    ),
    "answer above one": (
        check(answers={"no": (1.9, 0.2), "yes": (-0.9, 0.8)}),
        "check look, answers, no, world {a}",
    ),
    "one answer": (check(answers={"no": (1.0, 1.0)}), "check look, answers"),
    "answers a list": (check(answers=[1.0]), "checks[0], answers"),
    "unknown set-up": (check(on=("lid-off",)), "check look, on, lid-off"),
    "unknown set-up off": (repair(off=("lid-off",)), "repair mend, off, lid-off"),
    "unknown check spoilt": (check(spoils=("watch",)), "check look, spoils, watch"),
    "set-up on and off": (
        check(on=("cover-off",), off=("cover-off",)),
        "check look, on, cover-off",
    ),
    "unknown fault": (repair(mends={"c": 1.0}), "repair mend, mends, c"),
    "mends above one": (repair(mends={"a": 1.2}), "repair mend, mends, a"),
    "mends nothing": (repair(mends={}), "repair mend, mends"),
    "same id twice": (but(FIT, checks=(CHECK, CHECK)), "step look"),
    "id of a fall-back": (check(id="fall-back"), "step fall-back"),
    "id missing": (check(id=None), "checks[0], id"),
    "no list": (but(FIT, checks=None), "checks"),
    "no check": (but(FIT, checks=(REPAIR,)), "checks[0]"),
    "cannot end": (but(FIT, fall_back=None), "fall-back"),
    "may not end": (
        but(FIT, fall_back=None, repairs=(but(REPAIR, mends={"a": 0.9, "b": 1.0}),)),
        "fall-back",
    ),
    "left world is missing": (
        but(FIT, worlds={frozenset("ab"): 1.0, frozenset("a"): 0.0}),
        "repair mend, mends",
    ),
    "too many repairs": (
        but(FIT, repairs=tuple(but(REPAIR, id=f"r{n}") for n in range(13))),
        "repairs",
    ),
    "too many worlds": (
        but(FIT, worlds=several_faults(dict.fromkeys("abcdefghijk", 0.1))),
        "worlds",
    ),
}


@pytest.mark.parametrize(("problem", "place"), UNFIT.values(), ids=UNFIT)
def test_unfit_problem_is_refused(problem, place):
    with pytest.raises(UnfitProblemError) as caught:
        start(problem)
    misfits = {misfit.place: misfit for misfit in caught.value.misfits}
    assert place in misfits
    assert misfits[place].reason.endswith((".", ")."))
    assert misfits[place].mend.endswith(".")
    assert place in str(caught.value)


def test_all_faults_are_told_at_once():
    problem = Problem(
        one_fault({"a": 0.5, "b": 0.4}),
        (but(CHECK, cost=-1.0, spoils=("gone",)),),
        (but(REPAIR, cost=math.nan, on=("lid-off",)),),
    )
    with pytest.raises(UnfitProblemError) as caught:
        start(problem)
    assert {misfit.place for misfit in caught.value.misfits} >= {
        "worlds",
        "check look, cost",
        "check look, spoils, gone",
        "repair mend, cost",
        "repair mend, on, lid-off",
        "fall-back",
    }


def test_fit_problem_is_planned():
    assert Exact().plan(start(FIT)).expected < 100.0


ODD: st.SearchStrategy[Any] = st.one_of(
    st.none(),
    st.booleans(),
    st.floats(),
    st.text(max_size=3),
    st.lists(st.floats(0, 1), max_size=2),
    st.dictionaries(st.text(max_size=1), st.floats(), max_size=2),
)


@given(
    st.sampled_from(["worlds", "checks", "repairs", "set_ups", "fall_back"]),
    st.sampled_from(["", "id", "cost", "answers", "mends", "on", "off", "spoils", "make"]),
    ODD,
)
def test_whatever_is_given_is_planned_or_refused(part, field, value):
    entries = getattr(FIT, part)
    if field and isinstance(entries, tuple) and field in entries[0].__struct_fields__:
        value = (but(entries[0], **{field: value}),)
    try:
        plan = Exact().plan(start(but(FIT, **{part: value})))
    except UnfitProblemError:
        return
    assert 0.0 < plan.expected < math.inf
