"""Checks that are worth their minutes nowhere: the states, and what is saved in each."""

import pytest

from faultnet.advice.candidates import Candidate
from faultnet.advice.situation import situate
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.named_by import NamedBy
from faultnet.review.facts.states import SELDOM, states
from faultnet.review.facts.told import Told
from faultnet.review.facts.worth import never_worth
from tests.review.conftest import facts_of, read

CHECK = (
    "checks:\n  probe: {title: Probe, looks-for: {line-leaks: often}, minutes: %s, waiting: %s,"
    " who: technician%s}\n"
)


def told_of(subject, examples=()):
    named = NamedBy(subject.knowledge)
    return [p for p in never_worth(named, [Told(subject)], examples) if p.entity == "probe"]


def evidence_of(state):
    return Evidence(rounds=(Round(answers=tuple(Answer(f, "yes") for f in state.told)),))


def saved(subject, evidence):
    """What the check saves in a state that is reached by answers, the long way round."""
    situation = situate(subject, evidence, "technician")
    probe = next(c for c in situation.possible if c.check.id == "probe")
    nothing = Candidate(probe.check, (), ())
    before, after = situation.screen.values([nothing, probe], [0.0, 0.0])
    return before - after


def test_states_are_what_answers_lead_to(trial):
    subject = trial(CHECK % (300, 0, ""))
    told = Told(subject)
    seen = list(states(told))
    assert [len(state.told) for state in seen][:5] == [0, 1, 1, 1, 1]
    assert {len(state.told) for state in seen[5:]} == {2}
    for state in seen:
        situation = situate(subject, evidence_of(state), "technician")
        assert state.chances == pytest.approx(situation.chances, rel=1e-9), str(state)
    pairs = {frozenset(state.told) for state in seen[5:]}
    assert frozenset({"motor-silent", "short-cycles"}) not in pairs  # the one hides the other
    often = [told.of_pairs([tuple(pair)])[0][0] for pair in pairs]
    assert min(often) >= SELDOM


def test_what_it_saves_at_best_is_told(trial):
    subject = trial(CHECK % (300, 0, ""))
    (problem,) = told_of(subject)
    seen = list(states(Told(subject)))
    saves = {str(state): saved(subject, evidence_of(state)) for state in seen}
    where = max(saves, key=saves.get)
    assert problem.message == (
        f"In none of the {len(seen)} states looked at does it save half of the 300 min that it "
        f"takes with its set-ups made: at best {saves[where]:.1f} min, with {where}."
    )


@pytest.mark.parametrize(("share", "told"), [(1.9, False), (2.1, True)])
def test_half_of_its_minutes_is_enough(trial, share, told):
    """Set-ups count as made, and waiting by its share."""
    subject = trial(CHECK % (300, 0, ""))
    best = max(saved(subject, evidence_of(state)) for state in states(Told(subject)))
    minutes = share * best
    text = CHECK % (minutes / 2, minutes, ", set-ups: {power-locked-out: on}")
    assert bool(told_of(trial(text))) == told


def test_a_case_can_be_the_state_at_which_it_pays(trial, folder):
    """The case knows what it is not, and that leaves the line; no call alone says so much."""
    subject = trial(CHECK % (300, 0, ""))
    best = max(saved(subject, evidence_of(state)) for state in states(Told(subject)))
    case = (
        "from: judgement\ncases:\n  - id: looked-at-both\n    system: pump\n    reason: Left.\n"
        "    given: {no-water: yes, motor-silent: no, tap-spits-air: no, found-tank-flat: no}\n"
        "    expect: {first: [%s]}\n"
    )
    told = []
    for expected in ("line-leaks", "tank-flat"):
        (folder / "parts/small.cases.yaml").write_text(case % expected, encoding="utf-8")
        examples = read(folder)[1]
        assert saved(subject, examples[0].evidence) > best
        told.append(told_of(subject, examples))
    assert "with the case `looked-at-both`" in told[0][0].message
    assert "with the case" not in told[1][0].message


DANGER = (
    "findings:\n  tingle: {title: Tingle, ask: Tingle?, shows-anyway: 0.001,"
    " danger: {yes: {stop: full, say: Off., send: Somebody.}}}\n"
)
AUDIT = (
    "causes:\n  old: {title: Old, how-common: 0.01, audit: yes, repair: mend-line}\n"
    "checks:\n  probe: {title: Probe, looks-for: {old: often}, minutes: 300, who: technician}\n"
)


@pytest.mark.parametrize("text", [CHECK % (300, 0, ", reveals: [tingle]") + DANGER, AUDIT])
def test_what_is_done_for_another_reason_is_passed_over(trial, text):
    assert told_of(trial(text)) == []


def test_a_check_of_no_system_is_not_told(folder):
    part = "part: elsewhere\ntitle: Elsewhere\nfrom: judgement\n" + CHECK % (300, 0, "")
    (folder / "parts/elsewhere.yaml").write_text(part, encoding="utf-8")
    assert "check-never-worth-it" not in {each.code for each in facts_of(folder)}
