"""Logging in: who is let in, who has to wait, and what the trail says of it."""

import threading

import pytest
from sqlalchemy import text

from faultnet.accounts import entrance, register, trail, tries
from faultnet.accounts.entrance import MOST_HERE, MOST_OF_ADDRESS, NotAdmittedError, enter
from faultnet.cases.store.trouble import StoreError
from tests.accounts.people import NOON, OTHER, PHRASE

HERE, THERE = "192.0.2.1", "192.0.2.2"


@pytest.fixture(autouse=True)
def cheap(monkeypatch):
    """Have passwords compared without their costs; what they cost is tested elsewhere."""
    monkeypatch.setattr("faultnet.accounts.password.hashed", lambda word: f"hash {hash(word)}")
    monkeypatch.setattr(
        "faultnet.accounts.password.agrees", lambda kept, word: kept == f"hash {hash(word)}"
    )
    monkeypatch.setattr("faultnet.accounts.password.is_weak", lambda _: False)


def refused(store, name="anna", password=OTHER, address=HERE, at=NOON):
    with pytest.raises(NotAdmittedError) as told:
        enter(store, name, password, address, at)
    return told.value.wait


def deeds(store):
    return [(each.who, each.deed) for each in reversed(trail.noted(store))]


def test_who_knows_the_password_is_let_in(store, anna):
    account, secret = enter(store, "anna", PHRASE, HERE, NOON)
    assert account == anna
    assert len(secret) == 43  # 32 bytes in base64 without padding
    entrance.leave(store, "anna", secret, HERE, NOON + 1)
    assert deeds(store) == [("anna", "log-in"), ("anna", "log-out")]


def test_after_some_failures_the_right_password_has_to_wait_too(store, anna):
    for _ in range(MOST_HERE):
        assert refused(store) == 0.0
    assert refused(store) == pytest.approx(tries.WINDOW, abs=1)
    assert refused(store, password=PHRASE, at=NOON + 60) == pytest.approx(tries.WINDOW - 60, abs=1)
    assert enter(store, "anna", PHRASE, THERE, NOON + 60)[0] == anna
    assert enter(store, "anna", PHRASE, HERE, NOON + tries.WINDOW + 1)[0] == anna


def test_an_unknown_name_has_to_wait_just_so(store, anna):
    waits = [[refused(store, name) for _ in range(MOST_HERE + 1)] for name in ("anna", "nobody")]
    assert waits[0] == waits[1]


def test_one_address_has_to_wait_whatever_names_it_tries(store, anna):
    for number in range(MOST_OF_ADDRESS):
        assert refused(store, f"n{number}") == 0.0
    assert refused(store, "anna", PHRASE) > 0.0
    assert enter(store, "anna", PHRASE, THERE, NOON)[0] == anna


def test_one_name_has_to_wait_whatever_addresses_try_it(store, anna, monkeypatch):
    monkeypatch.setattr(entrance, "MOST_OF_NAME", 8)
    for number in range(8):
        assert refused(store, address=f"192.0.2.{number + 10}") == 0.0
    assert refused(store, address="192.0.2.99") > 0.0


def test_who_is_let_in_uses_up_no_tries(store, anna):
    for _ in range(MOST_OF_ADDRESS + 5):
        enter(store, "anna", PHRASE, HERE, NOON)
    refused(store)
    enter(store, "anna", PHRASE, HERE, NOON)
    for _ in range(MOST_HERE):
        assert refused(store) == 0.0


def test_tries_at_once_are_all_counted(store, anna):
    waits = []

    def attempt():
        waits.append(refused(store))

    threads = [threading.Thread(target=attempt) for _ in range(MOST_HERE + 7)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(wait == 0.0 for wait in waits) == MOST_HERE


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("2001:db8::1", "2001:db8::ffff:1"),
        ("::ffff:192.0.2.1", "192.0.2.1"),
        ("fe80::1%eth0", "fe80::2"),
    ],
)
def test_what_counts_as_one_address(one, other):
    assert entrance.network_of(one) == entrance.network_of(other)
    assert entrance.network_of(one) != entrance.network_of("2001:db8:0:1::1")


def test_the_trail_tells_of_failures_and_never_what_was_typed(store, anna):
    refused(store, "anna")
    refused(store, OTHER, "anna", at=NOON + 1)  # the password typed where the name belongs
    assert deeds(store) == [("anna", "failed log-in"), (entrance.NOBODY, "failed log-in")]
    assert OTHER not in repr(trail.noted(store))


@pytest.mark.parametrize(
    "change", ["UPDATE faultnet_trail SET who = 'b'", "DELETE FROM faultnet_trail"]
)
def test_the_trail_is_only_added_to(store, change):
    trail.note(store, "anna", "log-in", at=NOON)
    with pytest.raises(StoreError, match="only added to"):
        store.run(lambda c: c.execute(text(change)), writing=True)
    assert deeds(store) == [("anna", "log-in")]


def test_the_same_again_is_noted_once_in_a_while(store):
    for at in (NOON, NOON + 10, NOON + 700):
        trail.note(store, "anna", "case written", "c1", at=at, apart=600)
    trail.note(store, "anna", "case written", "c2", at=NOON + 701, apart=600)
    trail.note(store, "anna", "case written", "c1", at=NOON + 702, apart=600)
    assert [each.about for each in reversed(trail.noted(store))] == ["c1", "c1", "c2", "c1"]


def test_the_trail_is_searched(store):
    trail.note(store, "anna", "case written", "c1", at=NOON)
    trail.note(store, "berta", "case written", "c1", at=NOON + 1)
    trail.note(store, "berta", "case exported", "c1", at=NOON + 2)
    assert [each.who for each in trail.noted(store, who="anna")] == ["anna"]
    assert [each.who for each in trail.noted(store, deed="case exported")] == ["berta"]
    assert len(trail.noted(store, about="c1")) == 3
    assert len(trail.noted(store, most=1)) == 1


def test_text_that_no_database_takes_is_noted_all_the_same(store):
    trail.note(store, "a\0b\ud800\n" + "x" * 999, "refused", "\x1b[2J", at=NOON)
    (row,) = trail.noted(store)
    assert row.about == "?[2J"
    assert len(row.who) == trail.LONGEST


def test_accounts_are_there_in_a_store_that_had_none(where, tmp_path):
    from faultnet.cases.store.place import place_of
    from faultnet.cases.store.steps import STEPS
    from faultnet.cases.store.store import Store

    with Store(place_of(where, tmp_path), steps=STEPS[:1]) as before, pytest.raises(StoreError):
        register.there_are(before)
    with Store(place_of(where, tmp_path)) as after:
        assert not register.there_are(after)
        assert register.add(after, "anna", "senior", PHRASE, NOON).name == "anna"
