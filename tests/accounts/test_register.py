"""Accounts are kept once, with a hash of the password and no more."""

import pytest

from faultnet.accounts import password as passwords
from faultnet.accounts import register, sessions
from faultnet.accounts.account import AccountError
from faultnet.accounts.role import MAY, RIGHTS, ROLES
from faultnet.accounts.tables import ACCOUNTS, SESSIONS, TOKENS, TRAIL, TRIES
from faultnet.accounts.tokens import make, revoke, token_of, tokens
from tests.accounts.people import NOON, OTHER, PHRASE


def kept(store):
    return store.run(lambda c: c.execute(ACCOUNTS.select()).mappings().one())


def test_an_account_is_added_changed_and_removed(store, anna):
    assert register.accounts(store) == [anna]
    assert register.there_are(store)
    assert register.known(store, "anna", PHRASE) == anna
    register.give_role(store, "anna", "senior")
    register.give_password(store, "anna", OTHER)
    assert register.known(store, "anna", PHRASE) is None
    assert register.known(store, "anna", OTHER).role == "senior"
    register.remove(store, "anna")
    assert not register.there_are(store)
    assert register.known(store, "anna", OTHER) is None


def test_a_name_is_taken_once(store, anna):
    with pytest.raises(AccountError, match="already"):
        register.add(store, "anna", "senior", OTHER, NOON)
    assert register.known(store, "anna", PHRASE) == anna


@pytest.mark.parametrize("name", ["", "Anna", "anna b", "-anna", "a" * 41, "anna\n", "änna", "a@b"])
def test_a_name_that_is_none(store, name):
    with pytest.raises(AccountError, match="is no name"):
        register.add(store, name, "senior", PHRASE, NOON)


@pytest.mark.parametrize(
    ("password", "reason"),
    [
        ("short one", "fewer than 15"),
        ("x y " * 60, "more than 200"),
        ("abababababababababab", "fewer than 5 different"),
        ("my name is Anna, and so", "the name of the account"),
        ("seven wet boots\nby the stove", "cannot be typed"),
    ],
)
def test_a_password_that_is_too_weak(store, anna, password, reason):
    with pytest.raises(AccountError, match=reason):
        register.give_password(store, "anna", password)
    assert register.known(store, "anna", PHRASE) == anna


@pytest.mark.parametrize(
    "change", [register.remove, lambda s, n: register.give_role(s, n, "senior")]
)
def test_nobody_of_that_name(store, change):
    with pytest.raises(AccountError, match="no account `berta`"):
        change(store, "berta")


def test_passwords_are_hashed_as_rfc_9106_asks(store, anna):
    """RFC 9106, section 4, second recommended option: Argon2id, t=3, m=2^16 KiB, p=4,
    128 bits of salt."""
    kind, version, costs, salt, _ = kept(store)["password"].split("$")[1:]
    assert (kind, version, costs) == ("argon2id", "v=19", "m=65536,t=3,p=4")
    assert len(salt) == 22  # 16 bytes in base64 without padding
    register.give_password(store, "anna", PHRASE)
    assert salt not in kept(store)["password"]


def test_the_reference_example_of_argon2_agrees():
    """The example in the README of the Argon2 reference implementation
    (P-H-C/phc-winner-argon2: echo -n password | ./argon2 somesalt -t 2 -m 16 -p 4 -l 24)."""
    known = "$argon2i$v=19$m=65536,t=2,p=4$c29tZXNhbHQ$RdescudvJCsgt3ub+b+dWRWJTmaaJObG"
    assert passwords.agrees(known, "password")
    assert not passwords.agrees(known, "Password")
    assert passwords.is_weak(known)


def test_a_weak_hash_is_made_anew_at_log_in(store, anna):
    from argon2 import PasswordHasher

    weak = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(PHRASE)
    store.run(lambda c: c.execute(ACCOUNTS.update().values(password=weak)), writing=True)
    assert register.known(store, "anna", PHRASE) == anna
    assert kept(store)["password"] != weak
    assert register.known(store, "anna", PHRASE) == anna


def test_an_unknown_name_costs_a_hash_as_well(store, anna, monkeypatch):
    """What takes time is done once, whether there is such an account or not."""
    costs = []
    real = passwords._hasher()

    class Counting:
        def verify(self, kept, password):
            costs.append(kept.split("$")[3])
            return real.verify(kept, password)

        def check_needs_rehash(self, kept):
            return real.check_needs_rehash(kept)

    passwords._nobodys()
    monkeypatch.setattr(passwords, "_hasher", Counting)
    assert register.known(store, "anna", OTHER) is None
    assert register.known(store, "nobody", OTHER) is None
    assert costs == ["m=65536,t=3,p=4"] * 2


def test_a_session_lasts_while_it_is_used_and_not_for_ever(store, anna):
    secret = sessions.begin(store, anna, NOON)
    at = NOON
    while at + sessions.IDLE - 60 < NOON + sessions.LONGEST:
        at += sessions.IDLE - 60
        assert sessions.account_of(store, secret, at) == anna
    assert sessions.account_of(store, secret, NOON + sessions.LONGEST) is None
    secret = sessions.begin(store, anna, NOON)
    assert sessions.account_of(store, secret, NOON + sessions.IDLE - 1) == anna
    secret = sessions.begin(store, anna, NOON)
    assert sessions.account_of(store, secret, NOON + sessions.IDLE) is None


def test_a_session_ends_with_log_out_password_and_account(store, anna):
    left, other = (sessions.begin(store, anna, NOON) for _ in range(2))
    sessions.end(store, left)
    assert sessions.account_of(store, left, NOON) is None
    assert sessions.account_of(store, other, NOON) == anna
    register.give_role(store, "anna", "read-only")
    assert sessions.account_of(store, other, NOON).role == "read-only"
    register.give_password(store, "anna", OTHER)
    assert sessions.account_of(store, other, NOON) is None
    third = sessions.begin(store, anna, NOON)
    register.remove(store, "anna")
    assert sessions.account_of(store, third, NOON) is None


def test_a_token_is_good_until_it_is_over_or_revoked(store):
    token, secret = make(store, "board", "read-only", 30, NOON)
    assert token_of(store, secret, NOON).role == "read-only"
    assert token_of(store, secret, NOON + 30 * 86400) is None
    assert token_of(store, secret[:-1], NOON) is None
    assert tokens(store)[0].used
    assert tokens(store)[0].state("2999") == "over"
    revoke(store, token.id, NOON + 1)
    assert token_of(store, secret, NOON + 2) is None
    with pytest.raises(AccountError, match="revoked already"):
        revoke(store, token.id, NOON)
    with pytest.raises(AccountError, match="no token"):
        revoke(store, "tok-none", NOON)


@pytest.mark.parametrize("days", [0, -1, 367])
def test_no_token_is_good_for_ever(store, days):
    with pytest.raises(AccountError, match="1 to 366 days"):
        make(store, "board", "read-only", days, NOON)


def test_no_secret_is_in_the_store(store, anna):
    secret = sessions.begin(store, anna, NOON)
    _, token = make(store, "board", "read-only", 30, NOON)
    tables = (ACCOUNTS, SESSIONS, TOKENS, TRIES, TRAIL)
    told = repr(store.run(lambda c: [c.execute(table.select()).all() for table in tables]))
    assert "anna" in told
    for words in (secret, token, token.removeprefix("faultnet_"), PHRASE):
        assert words not in told


def test_the_table_of_roles_is_whole_and_read_only_only_sees():
    assert set(MAY) == set(ROLES) == {"dispatcher", "technician", "senior", "read-only"}
    assert MAY["read-only"] == {"see"}
    assert {role for role in ROLES if "customer" in MAY[role]} == set(ROLES) - {"read-only"}
    assert [role for role in ROLES if "accounts" in MAY[role]] == ["senior"]
    assert set().union(*MAY.values()) == set(RIGHTS)
