"""What can be used of a case is used; everything else is set aside with its reason."""

import pytest
from msgspec.structs import replace

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.learning.closed import Confirmation, StepTaken
from faultnet.learning.fit.fit import fit_to
from faultnet.learning.source import Batch
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.model.origin import NOWHERE
from faultnet.model.renamed import Renamed
from tests.learning.fit.cases import NOW, good, with_answers


@pytest.fixture(scope="session")
def fit(small):
    return fit_to(small.knowledge, NOW)


def whole(fit, *cases):
    return fit.possible(fit.batch(Batch(cases)))


def aside(fit, case):
    read = whole(fit, case)
    assert not read.cases
    (one,) = read.set_aside
    assert one.place
    return one


def test_a_good_case_stays_as_it_is(fit):
    assert whole(fit, good()) == Batch((good(),), (), ("case case-1",))


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("no-id", {"id": " "}),
        ("no-id", {"id": "a\0b"}),
        ("no-id", {"id": "a" * 201}),
        ("no-time", {"opened": "yesterday"}),
        ("no-time", {"closed": ""}),
        ("no-time-zone", {"opened": "2026-03-04T07:00:00"}),
        ("no-time-zone", {"closed": "2026-03-04"}),
        ("closed-first", {"closed": "2026-03-03T07:00:00Z"}),
        ("in-future", {"closed": "2031-03-03T07:00:00Z"}),
        ("too-early", {"opened": "1970-01-01T00:00:00Z"}),
        ("unknown-id", {"system": "smal-pump"}),
        ("unknown-id", {"ending": "mendet"}),
        ("unknown-id", {"confirmed": (Confirmation("valve-leeks"),)}),
        ("unknown-id", {"steps": (StepTaken("look-at-primes", "check"),)}),
        ("unknown-id", {"steps": (StepTaken("renew-valve", "check"),)}),
        ("unknown-id", {"parts": ("valve",)}),
        ("unknown-id", {"unknown": ("valve",)}),
        ("impossible-number", {"steps": (StepTaken("listen", "check", 0, -1.0),)}),
        ("impossible-number", {"steps": (StepTaken("listen", "check", 2),)}),
        ("impossible-number", {"confirmed": (Confirmation("valve-leaks", -1),)}),
        ("impossible-number", {"trips": -1}),
    ],
)
def test_what_cannot_be_is_set_aside(fit, code, changes):
    assert aside(fit, replace(good(), **changes)).code == code


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("unknown-id", Answer("no-watr", "yes")),
        ("unknown-id", Answer("no-water", "yes", "neighbour")),
        ("unknown-answer", Answer("prime-falls", "slow")),
    ],
)
def test_answers_that_the_files_do_not_hold_are_set_aside(fit, code, said):
    one = aside(fit, with_answers(good(), said))
    assert one.code == code
    assert "renamed.yaml" in one.reason


def test_what_may_have_been_meant_is_told(fit):
    one = aside(fit, with_answers(good(), Answer("no-watr", "yes")))
    assert "Did you mean `no-water`?" in one.reason


def test_a_reading_that_cannot_be_is_set_aside(fit):
    rounds = (Round((), (Taken("hold", {"start": 400.0, "end": 44.0, "minutes": 15.0}),)),)
    case = with_answers(good())
    assert aside(fit, replace(case, evidence=replace(case.evidence, rounds=rounds))).code == (
        "unfit-reading"
    )


def test_a_time_with_an_offset_becomes_utc(fit):
    case = replace(good(), opened="2026-03-04T08:00:05.123+01:00")
    assert whole(fit, case).cases == (good(),)


def test_a_cause_that_the_layout_forbids_contradicts(fit):
    case = with_answers(good(), Answer("clicks", "yes"))
    case = replace(
        case,
        evidence=replace(case.evidence, layout={"tank": "plain"}),
        confirmed=(Confirmation("tank-air-lost"),),
    )
    one = aside(fit, case)
    assert one.code == "contradicts"
    assert "tank: plain" in one.reason


def test_mended_by_what_does_not_mend_it_contradicts(fit):
    one = aside(fit, replace(good(), confirmed=(Confirmation("tank-air-lost"),)))
    assert one.code == "contradicts"
    assert "set-the-air" in one.reason


def test_seen_in_one_round_and_mended_in_the_next_is_fine(fit):
    rounds = good().evidence.rounds
    more = (rounds[0], replace(rounds[1], repairs=("set-the-air",)), Round())
    case = replace(good(), evidence=replace(good().evidence, rounds=more))
    case = replace(case, confirmed=(Confirmation("tank-air-lost"), Confirmation("valve-leaks")))
    assert whole(fit, case).cases == (case,)


def test_answers_that_cannot_all_be_so_contradict(fit):
    case = with_answers(good(), Answer("motor-silent", "yes"), Answer("gauge-falls", "yes"))
    one = aside(fit, case)
    assert one.code == "contradicts"
    assert "motor-silent" in one.reason
    assert "gauge-falls" in one.reason


def test_a_seen_cause_counts_as_evidence(fit):
    case = replace(
        with_answers(good(), Answer("motor-silent", "no")),
        confirmed=(Confirmation("no-power"),),
    )
    assert whole(fit, case).cases == (case,)


def test_old_names_are_read_as_those_of_today(small):
    def renamed(kind, old, new, of=""):
        return Renamed(kind, old, new, NOWHERE, of)

    knowledge = replace(
        small.knowledge,
        renamed=(
            renamed("finding", "level-sinks", "prime-falls"),
            renamed("answer", "fast", "quickly", "prime-falls"),
            renamed("cause", "valve-drips", "valve-leaks"),
            renamed("repair", "swap-valve", "renew-valve"),
            renamed("layout", "check", "check-valve"),
            renamed("answer", "bottom", "foot", "check-valve"),
            renamed("system", "tiny-pump", "small-pump"),
        ),
    )
    first = good().evidence.rounds[0]
    answers = (*first.answers[:2], Answer("level-sinks", "fast"))
    old = replace(
        good(),
        system="tiny-pump",
        evidence=replace(
            good().evidence,
            rounds=(replace(first, answers=answers, repairs=("swap-valve",)), Round()),
            layout={"check": "bottom"},
        ),
        confirmed=(Confirmation("valve-drips"),),
        steps=(StepTaken("swap-valve", "repair"),),
    )
    (now,) = fit_to(knowledge, NOW).batch(Batch((old,))).cases
    assert now.system == "small-pump"
    assert now.evidence.rounds[0] == first
    assert now.evidence.layout == {"check-valve": "foot"}
    assert now.confirmed == (Confirmation("valve-leaks"),)
    assert now.steps == (StepTaken("renew-valve", "repair"),)


def test_a_look_that_missed_what_was_seen_later_is_no_contradiction():
    subject = make_subject(load(shipped_folder()), "jet-pump-cistern")
    answers = (
        Answer("never-shuts-off", "yes"),
        Answer("found-switch-diaphragm-leaks", "no"),
    )
    repairs = [
        subject.knowledge.causes[cause].repair
        for cause in ("sediment-filter-clogged", "switch-diaphragm-leaks")
    ]
    rounds = (Round(answers, (), (repairs[0],)), Round((), (), (repairs[1],)), Round())
    case = replace(
        good(),
        system="jet-pump-cistern",
        evidence=Evidence(rounds, {"switch": "plain"}),
        confirmed=(Confirmation("switch-diaphragm-leaks", 1),),
        steps=(),
        unknown=(),
    )
    assert whole(fit_to(subject.knowledge, NOW), case).cases == (case,)
