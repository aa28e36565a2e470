"""Killed at any moment: what was acknowledged is there, none of it twice, and all opens again.

The rounds are few enough for every run; for more there is tests/cases/killing.py.
"""

import subprocess
import sys
from pathlib import Path

import pytest

from faultnet.cases import events as e
from faultnet.cases.fold import fold
from faultnet.cases.store import listing
from faultnet.cases.store.place import FILE, place_of
from faultnet.cases.store.store import Store
from faultnet.cases.store.trouble import StoreError
from tests.cases.people import Person

ROOT = Path(__file__).parents[2]
ROUNDS = {"sqlite": 200, "postgresql": 100}
NEW = 60
"""Files whose making is interrupted."""
CRASHES = 4


def opened(where):
    """Keep a case, and return its beginning."""
    person = Person("anna")
    begin = person.opens(e.Opened("small-pump"))
    with Store(place_of(where, Path())) as store:
        store.append((begin,))
    return begin


def kill(where, log, rounds, seed=1):
    """Return the ids that were acknowledged to writers who were killed, with their rounds."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.cases.killing", where, log, str(rounds), str(seed)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
        timeout=300,
    )
    *told, last = done.stdout.splitlines()
    assert (last, done.returncode) == ("done", 0), done.stderr
    return [(int(number), name) for number, _, name in (line.partition(" ") for line in told)]


def test_killed_writers_lose_nothing_that_was_acknowledged(where, small, request):
    begin = opened(where)
    rounds = ROUNDS[request.node.callspec.params["where"]]
    told = [name for _, name in kill(where, begin.log, rounds)]
    assert len(told) > rounds  # most of them had time to write
    with Store(place_of(where, Path())) as store:
        log = store.read(begin.log)
        (listed,) = listing.cases(store)
    kept = [entry.id for entry in log.entries]
    assert len(kept) == len(set(kept)) == log.place == listed.entries
    assert set(told) <= set(kept)
    assert len(told) == len(set(told))
    # At most what one writer had in hand when it was killed is kept unacknowledged.
    assert len(kept) - 1 - len(told) <= 4 * rounds
    assert log.unread == 0
    assert len(fold(small, log.entries).entries) == len(kept)


def test_killed_while_the_tables_are_made(tmp_path):
    log = "20260304-0500-abcde"
    told = kill(str(tmp_path / "{}" / FILE), log, NEW)
    for number in range(1, NEW + 1):
        with Store(place_of(str(tmp_path / str(number) / FILE), tmp_path)) as store:
            kept = {entry.id for entry in store.read(log).entries}
        assert {name for round_, name in told if round_ == number} <= kept


def test_a_server_that_is_killed_loses_nothing_that_was_acknowledged(server, small):
    where = server.new_database("crashed")
    begin = opened(where)
    person = Person("berta")
    person.seen = (begin,)
    with Store(place_of(where, Path())) as store:
        for _ in range(CRASHES):
            for _ in range(10):
                store.append((person.writes(e.Note("kept")),))
            unsure = person.writes(e.Note("perhaps kept"))
            server.crash()
            with pytest.raises(StoreError, match=r"Try again|FAULTNET_STORE"):
                store.append((unsure,))
            server.start()
            store.append((unsure,))  # the same store goes on; once more does no harm
        kept = [entry.id for entry in store.read(begin.log).entries]
    assert kept == [entry.id for entry in person.seen]
    assert len(fold(small, person.seen).entries) == 1 + CRASHES * 11
