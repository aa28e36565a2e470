"""Customer data goes, off the disk as well; what was found and done stays, if wished."""

from datetime import date

import pytest

from faultnet.cases import events as e
from faultnet.cases.fold import fold
from faultnet.cases.store import listing
from faultnet.cases.store.purge import due_by_age, due_by_site, purge
from faultnet.cases.store.trouble import StoreError
from tests.cases.people import NOON, Clock, Person

SECRET = ("Mill at Orquay", "Orquay 3", "0555 0101", "the miller", "hums at night", "cellar.jpg")
SHEET = (
    e.Fitted(text="valve of the old mill", serial="K-4471"),
    e.Disinfected("bleach from the larder", "99 floz"),
    e.SafetyFinding("lid of the stone trough", declined=True),
    e.Watch("what the heron does"),
    e.NextDue("call the sluice keeper", date(2026, 4, 1)),
    e.Signed("Orla Finn", "customer"),
)
OF_SHEET = ("old mill", "4471", "larder", "trough", "heron", "sluice", "finn")
NOW = "2026-03-05T00:00:00.000Z"
DAY = 86_400.0


def site(store):
    person = Person("office", Clock(NOON - 400 * DAY))
    person.opens(e.SiteBegun("small-pump"))
    person.writes(e.Named(*SECRET[:4]))
    store.append(person.seen)
    return person


def case(store, place="", *, days=0.0, end="mended"):
    person = Person("anna", Clock(NOON - days * DAY))
    person.opens(e.Opened("small-pump", site=place))
    person.writes(e.Told("no-water", "yes"), e.Note(SECRET[4]), e.Photo(SECRET[5], "the tank"))
    person.writes(e.RepairDone("renew-valve"), *SHEET, *([e.Ended(end)] if end else []))
    store.append(person.seen)
    return person


def on_the_disk(store):
    """Return every byte of an SQLite store."""
    path = store.place.path
    return b"".join(each.read_bytes() for each in path.parent.glob(f"{path.name}*"))


def ids(found):
    return {each.id for each in found}


def test_what_tells_of_the_customer_is_gone_and_the_findings_stay(store, small):
    at = site(store)
    mine, other = case(store, at.seen[0].log), case(store)
    before = fold(small, mine.seen)
    if store.place.is_file:
        assert b"hums at night" in on_the_disk(store)
    due = due_by_site(store, at.seen[0].log)
    assert ids(due) == {at.seen[0].log, mine.seen[0].log}
    purge(store, due, NOW)
    kept = store.read(mine.seen[0].log)
    after = fold(small, kept.entries)
    assert (after.evidence, after.ended, kept.unread) == (before.evidence, before.ended, 0)
    assert after.site == ""
    assert listing.sites(store) == []
    for words in ("mill", "night", "cellar", "tank", *OF_SHEET):
        assert ids(listing.found(store, words)) <= {other.seen[0].log}
    purge(store, due_by_age(store, NOW), NOW)
    if store.place.is_file:
        data = on_the_disk(store)
        assert b"no-water" in data
        for words in (*SECRET, *OF_SHEET):
            assert words.encode() not in data
            assert words.casefold().encode() not in data


def test_what_was_taken_out_does_not_come_back(store):
    at = site(store)
    mine = case(store, at.seen[0].log)
    purge(store, due_by_site(store, at.seen[0].log), NOW)
    kept = store.read(mine.seen[0].log).entries
    assert store.append(mine.seen) == ()
    assert store.read(mine.seen[0].log).entries == kept
    late = mine.writes(e.Note("the miller is away"))
    (new,) = store.append((late,))
    assert new.event == e.Note("")
    assert store.append((late,)) == ()
    with pytest.raises(StoreError, match="was deleted on 2026-03-05"):
        store.append(at.seen)


def test_nothing_stays_where_that_is_wished(store):
    at = site(store)
    mine = case(store, at.seen[0].log)
    purge(store, due_by_site(store, at.seen[0].log), NOW, whole=True)
    assert listing.cases(store) == listing.sites(store) == []
    assert store.read(mine.seen[0].log).entries == ()
    with pytest.raises(StoreError, match="was deleted"):
        store.append(mine.seen)
    if store.place.is_file:
        assert b"no-water" not in on_the_disk(store)


def test_age_takes_closed_cases_and_sites_that_have_no_other(store):
    busy, quiet = site(store), site(store)
    old = [case(store, each.seen[0].log, days=300) for each in (busy, quiet)]
    case(store, busy.seen[0].log, days=2)
    case(store, days=300, end="")
    due = due_by_age(store, "2025-12-01T00:00:00.000Z")
    assert ids(due) == {quiet.seen[0].log, *(each.seen[0].log for each in old)}
    purge(store, due, NOW)
    assert due_by_age(store, "2025-12-01T00:00:00.000Z") == []
    assert ids(listing.sites(store)) == {busy.seen[0].log}


def test_either_all_is_done_or_nothing(store, monkeypatch):
    at = site(store)
    mine = case(store, at.seen[0].log)
    due = due_by_site(store, at.seen[0].log)

    def broken(*_):
        raise RuntimeError

    monkeypatch.setattr("faultnet.cases.store.purge._forget", broken)
    with pytest.raises(RuntimeError):
        purge(store, due, NOW)
    assert store.read(mine.seen[0].log).entries == mine.seen
