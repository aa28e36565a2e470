"""`cases closed`: the closed cases as one file, without customers, and refused in words."""

import json

import pytest

from faultnet.cases import events as e
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
from faultnet.learning.closed import ClosedCase
from tests.cases.people import Person
from tests.cli.conftest import ROOT

WORLD = ROOT / "tests" / "visit" / "knowledge"


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Keep two closed cases, one of which no longer fits the knowledge, and an open one."""
    path = tmp_path / "kept.sqlite"
    monkeypatch.setenv("FAULTNET_STORE", str(path))
    monkeypatch.setenv("FAULTNET_AUTHOR", "Anna")
    kept = []
    for told in (e.Told("no-water", "yes"), e.Told("no-watr", "yes"), None):
        anna = Person("anna")
        anna.opens(e.Opened("small-pump"))
        anna.writes(e.Named("Mill at Orquay", "Orquay 3"), e.Note("the red door"))
        if told:
            anna.writes(told, e.Fitted("", 1, "S-1", "a valve"), e.Ended("referred"))
        kept += anna.seen
    with Store(place_of(str(path), None)) as opened:
        opened.append(kept)
    return path


def closed(faultnet, *arguments):
    return faultnet("cases", "closed", *arguments, "--knowledge", WORLD)


@pytest.mark.usefixtures("store")
def test_closed_cases_are_written_and_the_others_named(faultnet, tmp_path):
    path = tmp_path / "closed.jsonl"
    told = closed(faultnet, path, "--note-region", "Orquay Valley")
    assert told.code == 1
    assert f"1 closed case written to {path}" in told.out
    assert "Set aside: names what the files do not hold (1)\n" in told.out
    text = path.read_text()
    assert "Orquay 3" not in text
    assert "red door" not in text
    (row,) = map(json.loads, text.splitlines())
    assert (row["system"], row["region"]) == ("small-pump", "Orquay Valley")
    assert set(row) == set(ClosedCase.__struct_fields__)


@pytest.mark.usefixtures("store")
def test_as_json_and_as_parquet(faultnet, tmp_path):
    pytest.importorskip("pyarrow")
    first = tmp_path / "closed.parquet"
    told = closed(faultnet, first, "--json").json
    assert (told["read"], told["written"]) == (2, 1)
    assert told["set_aside"]["counts"] == {"unknown-id": 1}
    again = closed(faultnet, tmp_path / "again.jsonl", "--from", first)
    assert (again.code, again.err) == (0, "")


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (("closed.csv",), 2, "Give the file one of these endings."),
        (("there.jsonl",), 2, "is there already"),
        (("nowhere/closed.jsonl",), 2, "cannot be written"),
        (("closed.jsonl", "--from", "nowhere.jsonl"), 2, "there is no such file or folder"),
    ],
)
def test_refused_in_words(faultnet, tmp_path, monkeypatch, arguments, code, message):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.jsonl").touch()
    told = closed(faultnet, *arguments)
    assert told.code == code
    assert message in told.err
    assert not (tmp_path / "closed.jsonl").exists()
