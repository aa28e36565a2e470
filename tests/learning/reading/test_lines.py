"""A case a line: read in stretches, and what is no case is told with its line."""

import msgspec
import pytest

from faultnet.learning.reading import lines
from faultnet.learning.reading.lines import LinesSource
from faultnet.learning.reading.trouble import SourceError
from faultnet.learning.reading.written import write_cases
from tests.learning.reading.cases import rich, several


def read(path):
    return [part.read() for part in LinesSource(str(path)).parts()]


def cases_of(batches):
    return [case for batch in batches for case in batch.cases]


def line(**changes):
    return msgspec.json.encode({**msgspec.to_builtins(rich("odd")), **changes})


@pytest.mark.parametrize("stretch", [1, 100, 3000, 10**6])
def test_stretches_give_every_case_once(tmp_path, monkeypatch, stretch):
    monkeypatch.setattr(lines, "STRETCH", stretch)
    path = tmp_path / "closed.jsonl"
    write_cases(path, several(20))
    batches = read(path)
    assert cases_of(batches) == several(20)
    assert [place for batch in batches for place in batch.places] == [
        f"{path}:{number}" for number in range(1, 21)
    ]


def test_blank_lines_and_other_ends_of_line_are_nothing(tmp_path):
    path = tmp_path / "closed.jsonl"
    path.write_bytes(b"\xef\xbb\xbf" + line() + b"\r\n\r\n  \n" + line(id="last"))
    (batch,) = read(path)
    assert [case.id for case in batch.cases] == ["odd", "last"]
    assert batch.places[1] == f"{path}:4"
    assert not batch.set_aside


def test_an_empty_file_holds_no_case(tmp_path):
    path = tmp_path / "closed.jsonl"
    path.write_bytes(b"")
    assert read(path) == []


@pytest.mark.parametrize(
    ("spoilt", "code", "case", "reason"),
    [
        (line()[:-40], "not-json", "", "malformed"),
        (line().replace(b"odd", b"o\0d"), "not-json", "", "malformed"),
        (line().replace(b"odd", b"o\xffd"), "not-json", "", "UTF-8"),
        (b"[1, 2]", "not-in-form", "", "object"),
        (line(trips="two"), "not-in-form", "odd", "$.trips"),
        (line(confirmd=[]), "not-in-form", "odd", "Did you mean `confirmed`?"),
        (line(evidence={"round": []}), "not-in-form", "odd", "Did you mean `rounds`?"),
        (line(steps=[{"step": "a", "kind": "look"}]), "not-in-form", "odd", "look"),
    ],
)
def test_what_is_no_case_is_told_with_its_line(tmp_path, spoilt, code, case, reason):
    path = tmp_path / "closed.jsonl"
    path.write_bytes(line(id="before") + b"\n" + spoilt + b"\n" + line(id="after") + b"\n")
    (batch,) = read(path)
    assert [each.id for each in batch.cases] == ["before", "after"]
    (one,) = batch.set_aside
    assert (one.place, one.code, one.case) == (f"{path}:2", code, case)
    assert reason in one.reason


def test_a_line_that_is_too_long_is_passed_over(tmp_path, monkeypatch):
    monkeypatch.setattr(lines, "LARGEST", 2000)
    monkeypatch.setattr(lines, "STRETCH", 1500)
    path = tmp_path / "closed.jsonl"
    path.write_bytes(line() + b"\n" + b"x" * 7000 + b"\n" + line(id="after") + b"\n")
    batches = read(path)
    assert [each.id for each in cases_of(batches)] == ["odd", "after"]
    (one,) = [each for batch in batches for each in batch.set_aside]
    assert (one.place, one.code) == (f"{path}:2", "too-long")


def test_a_file_that_is_gone_is_told(tmp_path):
    path = tmp_path / "closed.jsonl"
    write_cases(path, several(2))
    (part,) = LinesSource(str(path)).parts()
    path.unlink()
    with pytest.raises(SourceError, match="cannot be read"):
        part.read()
