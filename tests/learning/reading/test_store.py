"""Closed cases out of the store: what was seen, done and known, as the files have it now."""

import pytest
from msgspec.structs import replace

from faultnet.cases import events as e
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
from faultnet.learning.closed import Confirmation, StepTaken
from faultnet.learning.reading import store as reading
from faultnet.learning.reading.store import StoreSource
from faultnet.model.evidence import Answer
from faultnet.model.origin import NOWHERE
from faultnet.model.renamed import Renamed
from tests.cases.conftest import where
from tests.cases.people import Clock, Person

__all__ = ["where"]

OPENED = e.Opened("small-pump", speaker="caller", knowledge="v1", site="site-mill")
ON_SITE = e.Joined(speaker="technician")


def waits(person, minutes):
    person.writer.clock.now += minutes * 60.0


def mended(name="anna"):
    """Return what somebody wrote who went there and renewed a valve."""
    anna = Person(name, Clock())
    anna.opens(OPENED)
    anna.writes(e.Told("no-water", "yes"), e.NotKnown("clicks"), ON_SITE)
    anna.writes(e.Told("motor-silent", "no"), e.AdviceShown("look-at-prime"))
    waits(anna, 6)
    anna.writes(e.StepDone("look-at-prime"), e.Told("prime-falls", "quickly"))
    anna.writes(e.NotKnown("gauge-falls"), e.StepBegun("renew-valve"))
    waits(anna, 10)
    anna.writes(e.SetUpMade(("power-locked-out",)))
    waits(anna, 20)
    anna.writes(e.Paused())
    waits(anna, 30)
    anna.writes(e.Resumed())
    waits(anna, 25)
    anna.writes(e.RepairDone("renew-valve"), e.Confirmed("no-power", 0))
    anna.writes(e.Told("no-water", "no"), e.Proved("yes"), e.Fitted("foot-valve-1in", 1))
    anna.writes(e.Named("Mill at Orquay", "Orquay 3"), e.Ended("mended"))
    return anna.seen


def by_phone():
    berta = Person("berta", Clock())
    berta.opens(OPENED)
    berta.writes(e.Told("motor-silent", "yes"), e.Ended("works-again"))
    return berta.seen


def read(where, knowledge, *cases):
    with Store(place_of(where, None)) as store:
        store.append(entry for case in cases for entry in case)
    return [part.read() for part in StoreSource(where, knowledge).parts()]


def one(where, knowledge, case):
    (batch,) = read(where, knowledge, case)
    return (*batch.cases, *batch.set_aside)[0]


def test_a_mended_case(where, small):
    case = one(where, small.knowledge, mended())
    assert (case.system, case.ending, case.knowledge) == ("small-pump", "mended", "v1")
    assert case.opened < case.closed
    assert case.evidence.rounds[0].repairs == ("renew-valve",)
    assert Answer("no-water", "yes", "caller") in case.evidence.rounds[0].answers
    assert case.confirmed == (Confirmation("no-power", 0),)
    assert (case.trips, case.unknown) == (1, ("clicks", "gauge-falls"))
    look, renew = case.steps
    assert (look.step, look.kind, look.round) == ("look-at-prime", "check", 0)
    assert look.minutes == pytest.approx(6.0, abs=0.1)
    assert (renew.step, renew.kind, renew.round) == ("renew-valve", "repair", 0)
    assert renew.minutes == pytest.approx(45.0, abs=0.1)


def test_what_was_said_on_the_phone_costs_no_trip(small, tmp_path):
    case = one(str(tmp_path / "cases.sqlite"), small.knowledge, by_phone())
    assert case.by_phone
    assert case.confirmed == ()


def test_what_was_found_by_looking_and_mended_is_confirmed(small, tmp_path):
    anna = Person("anna")
    anna.opens(e.Opened("small-pump"))
    found = next(f for f in small.findings if small.knowledge.findings[f].found_cause)
    anna.writes(e.StepDone("measure-supply"), e.Told(found, "yes"), e.RepairDone("restore-power"))
    anna.writes(e.Ended("mended"))
    case = one(str(tmp_path / "cases.sqlite"), small.knowledge, anna.seen)
    assert case.confirmed == (Confirmation("no-power", 0),)


def test_coming_again_is_another_trip_and_handing_over_a_step(small, tmp_path):
    anna = Person("anna")
    anna.opens(e.Opened("small-pump"))
    anna.writes(e.Told("no-water", "yes"), e.Paused())
    waits(anna, 26 * 60)
    anna.writes(e.Resumed(), e.Told("motor-silent", "no"), e.Ended("referred"))
    case = one(str(tmp_path / "cases.sqlite"), small.knowledge, anna.seen)
    assert case.trips == 2
    assert case.steps == (StepTaken("specialist", "specialist", 0),)


@pytest.mark.parametrize(
    ("minutes", "shown", "told"),
    [(0, True, None), (5, False, None), (5, True, 5.0), (9 * 60, True, None)],
)
def test_minutes_that_nobody_can_know_are_missing(small, tmp_path, minutes, shown, told):
    anna = Person("anna")
    anna.opens(e.Opened("small-pump"))
    anna.writes(e.AdviceShown("listen" if shown else "ask-around"))
    waits(anna, minutes)
    anna.writes(e.StepDone("listen"), e.Ended("referred"))
    step = one(str(tmp_path / "cases.sqlite"), small.knowledge, anna.seen).steps[0]
    assert step.minutes == (told and pytest.approx(told, abs=0.1))


def test_open_cases_and_sites_are_not_read(small, tmp_path):
    anna, site = Person("anna"), Person("berta")
    anna.opens(OPENED)
    site.opens(e.SiteBegun("small-pump"))
    assert read(str(tmp_path / "a.sqlite"), small.knowledge, anna.seen, site.seen) == []


def test_parts_are_ranges_of_ids(small, tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "RANGE", 2)
    cases = [by_phone() for _ in range(5)]
    batches = read(str(tmp_path / "a.sqlite"), small.knowledge, *cases)
    assert [len(batch.cases) for batch in batches] == [2, 2, 1]
    ids = [case.id for batch in batches for case in batch.cases]
    assert ids == sorted(case[0].log for case in cases)


@pytest.mark.parametrize(
    ("code", "spoilt"),
    [
        ("unknown-id", (e.Told("no-watr", "yes"),)),
        ("unknown-id", (e.StepDone("look-at-primes"),)),
        ("not-closed", None),
    ],
)
def test_what_the_files_no_longer_hold_is_set_aside(small, tmp_path, code, spoilt):
    anna = Person("anna")
    anna.opens(e.Opened("small-pump"))
    anna.writes(*(spoilt or ()), e.Ended("referred"))
    where = str(tmp_path / "a.sqlite")
    if spoilt:
        assert one(where, small.knowledge, anna.seen).code == code
        return
    with Store(place_of(where, None)) as store:
        store.append(anna.seen)
        (part,) = StoreSource(where, small.knowledge).parts()
        anna.writes(e.Reopened())
        store.append(anna.seen)
    assert [each.code for each in part.read().set_aside] == [code]


def test_an_unknown_system_and_missing_events_are_set_aside(small, tmp_path):
    anna = Person("anna")
    anna.opens(e.Opened("small-pmp"))
    anna.writes(e.Ended("referred"))
    told = one(str(tmp_path / "a.sqlite"), small.knowledge, anna.seen)
    assert told.code == "unknown-id"
    assert "Did you mean `small-pump`?" in told.reason
    case = by_phone()
    lacking = one(str(tmp_path / "b.sqlite"), small.knowledge, (case[0], *case[2:]))
    assert lacking.code == "incomplete"


def test_old_names_are_followed(small, tmp_path):
    renamed = (
        Renamed("finding", "no-flow", "no-water", NOWHERE),
        Renamed("system", "tiny-pump", "small-pump", NOWHERE),
    )
    anna = Person("anna")
    anna.opens(e.Opened("tiny-pump"))
    anna.writes(e.Told("no-flow", "yes"), e.Ended("referred"))
    knowledge = replace(small.knowledge, renamed=renamed)
    case = one(str(tmp_path / "a.sqlite"), knowledge, anna.seen)
    assert case.system == "small-pump"
    assert case.evidence.rounds[0].answers == (Answer("no-water", "yes"),)


def test_a_step_that_was_begun_and_left_was_broken_off(small, tmp_path):
    anna = Person("anna")
    anna.opens(e.Opened("small-pump"))
    anna.writes(e.StepBegun("renew-valve"))
    waits(anna, 12)
    anna.writes(e.StepSkipped("renew-valve", "no-part"), e.StepSkipped("listen"))
    anna.writes(e.Ended("part-on-order"))
    (step,) = one(str(tmp_path / "cases.sqlite"), small.knowledge, anna.seen).steps
    assert (step.step, step.kind, step.broken_off) == ("renew-valve", "repair", True)
    assert step.minutes == pytest.approx(12.0, abs=0.1)


def test_a_call_back_is_known_to_the_case_before(where, small):
    first = by_phone()
    berta = Person("berta", Clock(1_772_700_000.0))
    berta.opens(e.Opened("small-pump", follows=first[0].log))
    berta.writes(e.Ended("referred"))
    (batch,) = read(where, small.knowledge, first, berta.seen)
    after = {case.id: case.followed_by for case in batch.cases}
    assert after == {first[0].log: berta.seen[0].log, berta.seen[0].log: ""}


@pytest.mark.parametrize("undone", [False, True], ids=["said later", "taken back"])
def test_a_call_back_may_be_known_later_and_be_taken_back(where, small, undone):
    first = by_phone()
    berta = Person("berta", Clock(1_772_700_000.0))
    berta.opens(e.Opened("small-pump"))
    said = berta.writes(e.Follows(first[0].log))
    berta.writes(*([e.Undone(said.id)] if undone else ()), e.Ended("referred"))
    (batch,) = read(where, small.knowledge, first, berta.seen)
    after = {case.id: case.followed_by for case in batch.cases}
    assert after[first[0].log] == ("" if undone else berta.seen[0].log)


def test_what_is_unknown_is_named_and_what_is_needless_does_not_matter(small, tmp_path):
    anna = Person("anna")
    anna.opens(e.Opened("small-pump"))
    anna.writes(e.Picked("no-flow"), e.ProcedureBegun("gone"), e.Told("prime-falls", "fast"))
    anna.writes(e.Ended("referred"))
    told = one(str(tmp_path / "a.sqlite"), small.knowledge, anna.seen)
    assert told.reason.startswith("`prime-falls` with `fast` (told) does not fit")
    berta = Person("berta")
    berta.opens(e.Opened("small-pump"))
    berta.writes(e.Picked("no-flow"), e.ProcedureBegun("gone"), e.Ended("referred"))
    assert one(str(tmp_path / "b.sqlite"), small.knowledge, berta.seen).ending == "referred"
