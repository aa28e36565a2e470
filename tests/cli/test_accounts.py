"""`accounts` on the command line: passwords never shown, tokens shown once, deeds noted."""

import io
import sys

import pytest

from faultnet.accounts.role import ROLES
from faultnet.cli import kept_accounts
from tests.accounts.people import OTHER, PHRASE
from tests.cli.terminal import Terminal


@pytest.fixture
def accounts(faultnet, tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("FAULTNET_AUTHOR", "Keeper")
    monkeypatch.delenv("FAULTNET_STORE", raising=False)

    def ran(*arguments, typed=""):
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        return faultnet("accounts", *arguments)

    return ran


@pytest.fixture
def anna(accounts):
    assert accounts("add", "anna", "--role", "senior", typed=f"{PHRASE}\n").code == 0


def deeds(accounts, *arguments):
    noted = accounts("audit", *arguments, "--json").json["noted"]
    return [(each["who"], each["deed"], each["about"]) for each in reversed(noted)]


def test_added_listed_changed_removed(accounts):
    assert "There is no account" in accounts().out
    told = accounts("add", "anna", "--role", "dispatcher", "--json", typed=f"{PHRASE}\n")
    assert told.json["account"]["role"] == "dispatcher"
    assert "anna  dispatcher" in accounts("list").out
    assert accounts("role", "anna", "senior").code == 0
    assert accounts("password", "anna", typed=f"{OTHER}\r\n").code == 0
    assert [e["role"] for e in accounts("--json").json["accounts"]] == ["senior"]
    assert "No account is left" in accounts("remove", "anna").out
    assert accounts("--json").json["accounts"] == []
    assert deeds(accounts) == [
        ("Keeper", "account added", "anna, dispatcher"),
        ("Keeper", "role given", "anna, senior"),
        ("Keeper", "password given", "anna"),
        ("Keeper", "account removed", "anna"),
    ]


def test_a_password_is_typed_twice_and_does_not_show(accounts):
    screen = Terminal("accounts", "add", "anna", "--role", "senior")
    screen.wait("Password:").press(f"{PHRASE}\n").wait("again:")
    assert PHRASE not in screen.plain
    assert screen.press(f"{PHRASE}\n").ended() == 0
    assert PHRASE not in screen.plain
    assert "anna may log in now" in screen.plain
    assert [e["name"] for e in accounts("--json").json["accounts"]] == ["anna"]


def test_no_password_is_an_argument(accounts):
    for command in ("add", "password"):
        told = accounts(command, "--help").out
        assert "--password" not in told
    assert accounts("add", "anna", PHRASE, "--role", "senior").code == 2


def test_a_token_is_shown_once_and_revoked(accounts):
    made = accounts("token", "new", "board", "--role", "read-only", "--days", "7", "--json").json
    name, secret = made["token"]["id"], made["secret"]
    shown = accounts("token", "new", "desk", "--role", "dispatcher")
    assert shown.out.startswith("faultnet_")
    assert "shown this once" in shown.err
    listed = accounts("token").out + accounts("token", "--json").out + accounts("audit").out
    assert secret not in listed
    assert shown.out.strip() not in listed
    assert accounts("token", "revoke", name).code == 0
    assert "revoked" in accounts("token").out
    assert deeds(accounts, "--what", "token revoked") == [
        ("Keeper", "token revoked", f"{name}, board")
    ]


def test_what_was_done_is_shown_for_people(accounts, anna):
    told = accounts("audit", "--who", "Keeper").out
    assert "Keeper: account added, anna, senior, (command line)" in told
    assert accounts("audit", "--who", "nobody").out == "Nothing was noted.\n"


WRONG = [
    (["ad"], "no command `accounts ad`", "`add`"),
    (["add", "anna"], "--role", "add --help"),
    (["add", "Anna B", "--role", "senior"], "is no name of an account", "small letters"),
    (["add", "berta", "--role", "boss"], "'boss' is not one of", "senior"),
    (["add", "berta", "--role", "senior"], "No password came", "standard input"),
    (["role", "berta", "senior"], "no account `berta`", ""),
    (["remove", "berta"], "no account `berta`", ""),
    (["token", "new", "x", "--role", "senior", "--days", "0"], "1 to 366 days", ""),
    (["token", "revoke", "tok-x"], "no token `tok-x`", ""),
    (["audit", "--what", "nothing"], "No deed is called `nothing`", "log-in"),
]


@pytest.mark.parametrize(("arguments", "message", "hint"), WRONG)
def test_what_makes_no_sense_is_refused(accounts, arguments, message, hint):
    told = accounts(*arguments)
    assert told.code == 2, told.out
    assert message in told.err
    assert hint in told.err
    as_json = accounts(*arguments, "--json")
    assert (as_json.code, as_json.err) == (2, "")
    assert message in as_json.json["error"]["message"]


def test_a_weak_password_and_a_taken_name_are_told(accounts, anna):
    told = accounts("password", "anna", typed="anna's own password\n")
    assert (told.code, "the name of the account" in told.err) == (2, True)
    told = accounts("add", "anna", "--role", "senior", typed=f"{PHRASE}\n")
    assert (told.code, "already" in told.err) == (2, True)


def test_the_roles_that_help_shows_are_those_of_the_table():
    assert kept_accounts.ROLES == ROLES


def test_exports_and_purges_at_the_command_line_are_noted(accounts, faultnet):
    world = "tests/visit/knowledge"
    made = faultnet(
        "cases", "sites", "new", "small-pump", "--name", "Mill at Orquay", "--knowledge", world
    )
    site = made.out.split()[0]
    assert faultnet("cases", "purge", "--site", site, "--yes").code == 0
    assert deeds(accounts) == [("Keeper", "case purged", site)]


def test_a_trail_that_cannot_be_written_is_told_and_stops_nothing(accounts, faultnet, monkeypatch):
    from faultnet.cases.store.trouble import StoreError

    def away(*_, **__):
        raise StoreError("here", "the disk is full")

    monkeypatch.setattr("faultnet.accounts.trail.note", away)
    told = accounts("add", "anna", "--role", "senior", typed=f"{PHRASE}\n")
    assert told.code == 0
    assert "Not noted in the trail: here: the disk is full." in told.err
