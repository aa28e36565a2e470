"""Accepted numbers stand in the files with where they come from; nothing else has changed."""

import msgspec
import pytest

from faultnet.authoring.forms.learnt import digest_of
from faultnet.authoring.lint import FEWEST_CAUSES, causes_per_call
from faultnet.learning.proposal import prepared as module
from faultnet.learning.proposal.offer import offers_of
from faultnet.learning.proposal.prepared import prepare
from faultnet.learning.proposal.run import source_of
from tests.learning.proposal.conftest import SMALL, SYSTEM, proposed
from tests.learning.proposal.test_offer import shown

SOURCE = "closed-cases-2026-03"


def text_of(prepared, name):
    return next(c.after for c in prepared.accepted.changes if c.name == name).decode()


@pytest.fixture
def offered(knowledge):
    system = knowledge.systems[SYSTEM]
    slowly, quickly = shown(knowledge, "foot-valve-leaks", "prime-falls")
    return offers_of(
        knowledge,
        SYSTEM,
        [
            proposed(knowledge.causes["pipe-cracked"].how_common, 0.0081, "how-common", prior=900),
            proposed(slowly, 0.65),
            proposed(quickly, 0.15),
            proposed(knowledge.checks["hold-test"].work.minutes, 5.2, "minutes"),
            proposed(system.layout["source-level"]["below-pump"], 0.85, "layout"),
            proposed(system.circumstances["after-freeze"], 0.2, "circumstance"),
        ],
    ).offered


def test_files_say_what_was_accepted_and_from_where(before, offered, run):
    found = prepare(before, offered, run)
    assert found.problems == ()
    cause = found.knowledge.causes["pipe-cracked"]
    assert (cause.how_common.value, cause.how_common.provenance) == (0.0081, (SOURCE, "judgement"))
    strength = shown(found.knowledge, "foot-valve-leaks", "prime-falls")
    assert [(n.value, n.provenance) for n in strength] == [(0.65, (SOURCE,)), (0.15, (SOURCE,))]
    assert found.knowledge.systems[SYSTEM].layout["source-level"]["above-pump"].value == 0.15
    learnt = found.knowledge.learnt[SOURCE]
    assert (learnt.count, learnt.since, learnt.until) == (2, "2026-01-05", "2026-03-01")
    assert learnt.digest == digest_of(["weir-lane-1", "weir-lane-2"])
    assert learnt.knowledge == before.knowledge.version
    assert {each.number for each in learnt.numbers} >= {
        "pipe-cracked/how-common",
        "foot-valve-leaks/shows/prime-falls/slowly",
        "hold-test/minutes",
    }


def test_a_word_is_written_where_it_means_just_that(before, knowledge, run):
    common = knowledge.causes["foot-valve-leaks"].how_common
    offers = offers_of(knowledge, SYSTEM, [proposed(common, 0.008, "how-common")]).offered
    text = text_of(prepare(before, offers, run), "parts/suction.yaml")
    assert f"how-common: {{is: occasional, from: {SOURCE}}}" in text


def test_all_other_lines_stay(before, offered, run):
    text = text_of(prepare(before, offered, run), "parts/suction.yaml")
    old = (SMALL / "parts/suction.yaml").read_text().splitlines()
    new = text.splitlines()
    assert len(new) == len(old)
    changed = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
    assert len(changed) == 3
    assert all(SOURCE in b for _, b in changed)


def test_a_second_run_of_the_month_has_a_name_of_its_own(before, offered, run):
    found = prepare(before, offered, run)
    assert source_of(run, found.knowledge) == f"{SOURCE}-2"


def test_commonness_is_moved_alike_where_lint_would_tell(before, knowledge, run, monkeypatch):
    """The small system comes to 0.1 causes a call, so the range is put around that."""
    total = causes_per_call(knowledge.systems[SYSTEM], knowledge)
    monkeypatch.setattr(module, "FEWEST_CAUSES", 0.9 * total)
    monkeypatch.setattr(module, "MOST_CAUSES", 1.1 * total)
    assert FEWEST_CAUSES == 1.2
    common = knowledge.causes["foot-valve-leaks"].how_common
    offers = offers_of(knowledge, SYSTEM, [proposed(common, 0.0065, "how-common")]).offered
    found = prepare(before, offers, run)
    now = causes_per_call(found.knowledge.systems[SYSTEM], found.knowledge)
    assert 0.9 * total <= now <= 0.92 * total
    assert "Times" in found.accepted.offers[0].notes[-1]


def test_shared_numbers_go_into_the_file_of_the_system(before, knowledge, run):
    """With two systems, what circumstances.yaml says for both is not changed for one."""
    other = (SMALL / "systems/jet-pump.yaml").read_bytes()
    mine = other.replace(b"circumstances: {after-freeze: 0.1}\n", b"")
    second = mine.replace(b"system: jet-pump", b"system: second").replace(b"Jet pump", b"Second")
    whole = before.whole.having({"systems/jet-pump.yaml": mine, "systems/second.yaml": second})
    judged, problems = whole.judged()
    assert judged is not None, problems
    number = judged.systems[SYSTEM].circumstances["after-freeze"]
    offers = offers_of(judged, SYSTEM, [proposed(number, 0.2, "circumstance")]).offered
    found = prepare(module.Before(whole, judged, problems), offers, run)
    assert found.knowledge.systems[SYSTEM].circumstances["after-freeze"].value == 0.2
    assert found.knowledge.systems["second"].circumstances["after-freeze"].value == 0.07
    assert "other systems keep" in offers[0].notes[0]


def test_a_number_that_is_not_written_is_left_to_the_author(before, knowledge, run):
    waiting = knowledge.checks["listen"].work.waiting
    offers = offers_of(knowledge, SYSTEM, [proposed(waiting, 3.0, "minutes")]).offered
    found = prepare(before, offers, run)
    assert found.accepted.changes == ()
    assert [each.offer.id for each in found.accepted.unwritten] == ["listen/waiting"]


def test_many_cases_are_told_by_their_digest_alone(before, offered, run, monkeypatch):
    monkeypatch.setattr("faultnet.learning.proposal.files.MOST_LISTED", 1)
    found = prepare(before, offered, run)
    assert "\ncases:" not in text_of(found, f"learnt/{SOURCE}.yaml")
    assert found.knowledge.learnt[SOURCE].count == 2


def test_strange_ids_are_read_as_they_are(before, offered, run):
    odd = msgspec.structs.replace(run, cases=("007", "a: b", "no", "#1"))
    found = prepare(before, offered, odd)
    assert found.problems == ()
    assert found.knowledge.learnt[SOURCE].digest == odd.digest
