"""The store keeps each entry once, in either database, and says what it has."""

import random
import subprocess
import sys
import threading
from datetime import date
from itertools import chain
from pathlib import Path

import msgspec
import pytest
from msgspec.structs import replace
from sqlalchemy import text

from faultnet.cases import events as e
from faultnet.cases.fold import fold
from faultnet.cases.store import listing
from faultnet.cases.store.keeping import Keeping
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
from faultnet.cases.store.trouble import StoreError
from tests.cases.people import Person, both, together
from tests.cases.test_order import history

OPENED = e.Opened("small-pump")
ROOT = Path(__file__).parents[2]


def a_case(*events, opened=OPENED):
    person = Person("anna")
    person.opens(opened)
    person.writes(*events)
    return person


def test_every_kind_of_event_comes_back_as_it_was(store):
    made = [_sample(kind) for kind in e.Event.__subclasses__() if kind is not e.SiteBegun]
    assert len(made) > 30
    person = a_case(*made)
    store.append(person.seen)
    log = store.read(person.seen[0].log)
    assert log.entries == person.seen
    assert (log.unread, log.place) == (0, len(person.seen))


def _sample(kind):
    samples = {
        "findings": ("a",),
        "set_ups": ("a",),
        "redraws": ("a",),
        "parts": {"a": 1.5},
        "causes": {"a": 0.25},
        "layout": {"a": "b"},
        "settings": {"a": "1gal"},
        "round": 1,
        "number": 1,
        "works": True,
        "unlisted": kind is e.Confirmed or 0.5,  # whether it is so; P(it) in the advice shown
        "value": 2.5,
        "amount": 2.5,
        "corrects": True,
        "outcome": "a-while",
        "speaker": "caller",
        "minutes": 720.0,
        "sampled": True,
        "declined": True,
        "date": date(2026, 4, 1),
        "role": "customer",
    }
    return kind(*(samples.get(field, "ä\0\n'") for field in kind.__struct_fields__))


def test_nothing_counts_twice(store):
    person = a_case(e.Note("one"), e.Note("two"))
    assert store.append(person.seen) == person.seen
    assert store.append(person.seen) == ()
    assert store.append((*person.seen, *person.seen)) == ()
    more = person.writes(e.Note("three"))
    assert store.append(reversed(person.seen)) == (more,)
    assert store.read(more.log).place == 4


def test_what_is_kept_is_never_overwritten(store):
    person = a_case(e.Note("one"))
    store.append(person.seen)
    forged = replace(person.seen[1], event=e.Note("two"))
    with pytest.raises(StoreError, match="kept already, with other content"):
        store.append((forged, person.writes(e.Note("three"))))
    assert store.read(forged.log).entries == person.seen[:2]


def test_two_stores_merge_in_any_order(store, small, tmp_path):
    moves = [(random.Random(4).randrange(4), n % 5) for n in range(60)]
    people = history(moves)
    entries = [*together(*people)]
    log = entries[0].log
    with Store(place_of(None, tmp_path / "other")) as other:
        shuffled = random.Random(5).sample(entries, len(entries))
        other.append(shuffled[: len(shuffled) // 2])
        store.append(shuffled[len(shuffled) // 3 :])
        theirs, ours = other.read(log).entries, store.read(log).entries
        store.append(theirs)
        other.append(ours)
        both_ = store.read(log).entries, other.read(log).entries
    assert fold(small, both_[0]) == fold(small, both_[1]) == fold(small, entries)
    assert sorted(each.id for each in both_[0]) == sorted(each.id for each in entries)


def test_what_has_come_since_is_read_alone(store):
    anna, berta = both(OPENED)
    store.append(anna.seen)
    keeping = Keeping(store, anna.seen[0].log, 1)
    assert keeping.keep(anna.writes(e.Note("a"))) == ()
    other = berta.writes(e.Note("b"))
    store.append((other,))
    assert keeping.keep(anna.writes(e.Note("c"))) == (other,)
    assert keeping.keep(anna.writes(e.Note("d"))) == ()


def test_cases_are_listed_by_where_they_stand(store):
    site = Person("anna")
    site.opens(e.SiteBegun("small-pump"))
    site.writes(e.Named("Mill at Orquay", "Orquay 3"))
    at_site = a_case(opened=e.Opened("small-pump", site=site.seen[0].log))
    closed = a_case(e.Ended("declined"))
    reopened = a_case(e.Ended("declined"), e.Reopened())
    undone = a_case(e.Ended("no-access"))
    undone.writes(e.Undone(undone.seen[-1].id))
    for person in (site, at_site, closed, reopened, undone):
        store.append(person.seen)
    name = {person: person.seen[0].log for person in (at_site, closed, reopened, undone)}
    open_ = {each.id: each for each in listing.cases(store, ended=False)}
    assert set(open_) == {name[at_site], name[reopened], name[undone]}
    assert open_[name[at_site]].name == "Mill at Orquay"
    assert open_[name[reopened]].author == "anna@phone"
    assert [each.id for each in listing.cases(store, ended=True)] == [name[closed]]
    assert [each.id for each in listing.cases(store, ended="declined")] == [name[closed]]
    assert [each.id for each in listing.cases(store, site=site.seen[0].log)] == [name[at_site]]
    assert listing.cases(store, system="another") == []
    assert [each.name for each in listing.sites(store)] == ["Mill at Orquay"]
    at_site.writes(e.AtSite(""))
    store.append(at_site.seen)
    assert listing.cases(store, site=site.seen[0].log) == []


def test_words_are_found_in_notes_and_names(store):
    site = Person("anna")
    site.opens(e.SiteBegun("small-pump"))
    site.writes(e.Named("Mühle Örquay", contact="100% Öl_AG"))
    at_site = a_case(opened=e.Opened("small-pump", site=site.seen[0].log))
    noted = a_case(e.Note("Spits AIR at the tap"))
    for person in (site, at_site, noted):
        store.append(person.seen)

    def found(words):
        return {each.id for each in listing.found(store, words)}

    assert found("air spits") == {noted.seen[0].log}
    assert found("MÜHLE") == found("100% öl_ag") == {site.seen[0].log, at_site.seen[0].log}
    assert found("100%x") == found("öl-ag") == found("air water") == found("  ") == set()
    assert found(noted.seen[0].log[-5:].upper()) == {noted.seen[0].log}
    part = noted.seen[0].log[-5:]
    assert [each.id for each in listing.named(store, part)] == [noted.seen[0].log]
    assert listing.named(store, "%") == []


def test_an_event_of_a_newer_faultnet_is_counted_and_the_rest_is_read(store):
    person = a_case(e.Note("one"), e.Note("two"))
    store.append(person.seen)
    newer = msgspec.json.encode(person.seen[1]).replace(b'"note"', b'"song"').decode()
    change = text("UPDATE faultnet_entries SET entry = :entry WHERE id = :id")
    store.run(lambda c: c.execute(change, {"entry": newer, "id": person.seen[1].id}), writing=True)
    log = store.read(person.seen[0].log)
    assert (log.unread, log.entries) == (1, (person.seen[0], person.seen[2]))


def test_a_thousand_events_of_one_case(store, small):
    person = a_case(*(e.Note(f"{n}") for n in range(999)))
    assert len(store.append(person.seen)) == 1000
    assert store.append(person.seen) == ()
    assert len(fold(small, store.read(person.seen[0].log).entries).entries) == 1000


def test_threads_at_work_on_one_case(store):
    person = a_case()
    store.append(person.seen)
    people = [Person(f"p{n}") for n in range(4)]
    for each in people:
        each.hears(person)

    def write(each):
        for number in range(15):
            store.append((each.writes(e.Note(f"{number}")),))

    threads = [threading.Thread(target=write, args=(each,)) for each in people]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    log = store.read(person.seen[0].log)
    assert {entry.id for entry in log.entries} == {entry.id for entry in together(*people)}
    assert log.place == 61


WRITER = """
import sys
from pathlib import Path
from faultnet.cases.entry import Writer
from faultnet.cases.events import Note, Opened
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
where, log, name = sys.argv[1:]
with Store(place_of(where, Path())) as store:
    writer, seen = Writer(name), store.read(log).entries
    print("ready", flush=True)
    sys.stdin.readline()
    for number in range(40):
        entry = writer.entry(log, Note(f"{name} {number}"), seen)
        store.append((entry,))
        seen = store.read(log).entries
        print(entry.id, flush=True)
"""


def test_two_processes_at_work_on_one_case(where, small):
    person = a_case()
    log = person.seen[0].log
    with Store(place_of(where, Path())) as store:
        store.append(person.seen)
        started = [
            subprocess.Popen(
                [sys.executable, "-c", WRITER, where, log, name],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                cwd=ROOT,
                text=True,
            )
            for name in ("anna", "berta")
        ]
        for process in started:
            assert process.stdout.readline() == "ready\n"
        acknowledged = {process: process.stdin.write("go\n") for process in started}
        acknowledged = {process: process.communicate()[0].split() for process in started}
        assert [process.returncode for process in started] == [0, 0]
        kept = [entry.id for entry in store.read(log).entries]
        assert sorted(kept) == sorted([person.seen[0].id, *chain(*acknowledged.values())])
        assert len(fold(small, store.read(log).entries).entries) == 81
