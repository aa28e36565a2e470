"""Knowledge about no pump at all: an invented tower clock, written from the pages alone.

What the files say is judgement and invented; what is held against something outside is the
arithmetic: pgmpy's own inference on the network of record.
"""

import pytest

from faultnet.advice.ranking import rank
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from faultnet.authoring.render import as_text
from faultnet.cases.events import Opened
from faultnet.network.record import record_beliefs
from faultnet.report.report import service_report
from faultnet.review.proofs import prove
from faultnet.writing.markdown import markdown
from tests.advice.say import say
from tests.docs.pages import ROOT
from tests.generality.owner import Owner
from tests.visit.press import opened

FOLDER = ROOT / "docs/examples/tower-clock"
SYSTEM = "tower-clock"
PUMPS = ("pump", "cistern", "prime", "suction", "water")
STOPPED = {"hands-still": "yes", "movement-stopped": "yes", "does-not-strike": "yes"}
OWNERS = (
    Owner(
        "winder-switched-off",
        "switch-winder-on",
        {"winding": "by-motor", "striking": "hours", "dials": "several"},
        {**STOPPED, "weight-at-bottom": "yes", "motor-silent": "yes", "after-power-cut": "yes"},
        "hands-still",
    ),
    Owner(
        "out-of-beat",
        "set-in-beat",
        {"winding": "by-hand", "striking": "hours", "dials": "one"},
        {**STOPPED, "beat-uneven": "yes", "swing-dies": "slowly", "after-work-in-tower": "yes"},
        "hands-still",
    ),
    Owner(
        "hammer-tied-up",
        "untie-hammer",
        {"winding": "by-hand", "striking": "hours", "dials": "one"},
        {"does-not-strike": "yes", "after-work-in-tower": "yes"},
        "does-not-strike",
    ),
)


@pytest.fixture(scope="module")
def knowledge(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
        read, problems = read_knowledge(FOLDER)
        assert read is not None, as_text(problems)
        yield read


@pytest.fixture(scope="module")
def clock(knowledge):
    return make_subject(knowledge, SYSTEM)


@pytest.fixture(scope="module")
def examples(knowledge):
    found, problems = read_examples(FOLDER, knowledge)
    assert not problems, as_text(problems)
    return found


def test_it_is_in_order_and_says_nothing_of_pumps(knowledge, examples):
    told = lint(knowledge, examples)
    assert not told, as_text(told)
    assert len(knowledge.causes) >= 12
    assert len(knowledge.parts) >= 3
    texts = "".join(path.read_text(encoding="utf-8") for path in FOLDER.rglob("*.yaml"))
    assert not [word for word in PUMPS if word in texts.lower()]


def test_every_case_is_proved_and_every_cause_has_one(knowledge, examples):
    proofs = prove(knowledge, examples)
    assert not [proof.case for proof in proofs if not proof.passed]
    expected = {cause for each in examples for cause in (*each.expect.first, *_within(each))}
    assert expected == set(knowledge.causes)


def _within(example):
    return [cause for causes in example.expect.within.values() for cause in causes]


def test_pgmpy_ranks_alike(clock):
    evidence = say(
        circumstances={"after-frost": "yes"},
        movement_stopped="no",
        hands_stiff="yes",
        loses_time="a-little",
        beat_uneven="no",
    )
    plain = {
        "after-frost": {"yes": 1.0},
        "movement-stopped": {"no": 1.0},
        "hands-stiff": {"yes": 1.0},
        "loses-time": {"a-little": 1.0},
        "beat-uneven": {"no": 1.0},
    }
    ranked = {cause.id: cause.probability for cause in rank(clock, evidence).causes[:2]}
    wanted = record_beliefs(clock.network, plain, list(ranked))
    assert ranked == pytest.approx({c: wanted[c]["present"] for c in ranked}, rel=1e-9)
    assert set(ranked) == {"ice-on-hands", "bevel-wheels-dry"}


def test_a_danger_withholds_every_step(clock):
    told = next_steps(clock, say(hands_still="yes", pieces_fall="yes"))
    assert [step.kind for step in told.steps] == ["make-safe"]
    freed = next_steps(clock, say(hands_still="yes", line_frayed="yes", made_safe=["line-frayed"]))
    assert {step.kind for step in freed.steps} >= {"check", "repair"}


@pytest.mark.parametrize("owner", OWNERS, ids=lambda owner: owner.fault)
def test_a_visit_ends_mended_and_is_reported(clock, owner):
    visit = owner.play(opened(clock, Opened(SYSTEM)))
    assert visit.at.ended == "mended", owner.told
    mended = [repair for each in visit.at.evidence.rounds for repair in each.repairs]
    assert mended[-1] == owner.repair
    assert visit.at.made == ()
    paper = markdown(service_report(clock, visit.entries))
    assert clock.knowledge.causes[owner.fault].title in paper
    assert clock.knowledge.repairs[owner.repair].title in paper
