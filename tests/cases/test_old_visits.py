"""Visits of the time before there was a store become cases, however often they are read."""

import json

import pytest

from faultnet.cases import events as e
from faultnet.cases.casefile import CasefileError
from faultnet.cases.fold import fold
from faultnet.cases.old_visits import entries_from
from faultnet.model.evidence import Answer

LINES = [
    {"what": "opened", "system": "small-pump", "who": "technician", "speaker": "technician"},
    {"what": "denied", "findings": ["tingle"]},
    {"what": "told", "about": "no-water", "answer": "yes"},
    {"what": "told", "about": "clicks", "answer": "yes"},
    {"what": "undone"},
    {"what": "paused"},
    {"what": "undone"},
    {"what": "told", "about": "clicks", "answer": "no"},
    {"what": "ended", "how": "no-fault"},
]


def file_of(lines=LINES):
    at = "2026-03-04T05:00:00Z"
    return b"".join(json.dumps({"at": at, "event": line}).encode() + b"\n" for line in lines)


def read(data, stem="20260304-0500"):
    return entries_from(data, stem, "old.jsonl")


def test_an_old_visit_becomes_a_case(small):
    entries, lost = read(file_of())
    assert lost == 0
    case = fold(small, entries)
    assert case.id.startswith("20260304-0500-")
    assert case.ended == "no-fault"
    assert case.evidence.now.answers == (Answer("tingle", "no"), Answer("clicks", "no"))


def test_read_twice_it_changes_nothing(store):
    entries, _ = read(file_of())
    assert store.append(entries) == entries
    assert store.append(read(file_of())[0]) == ()
    grown, _ = read(file_of([*LINES, {"what": "paused"}]))
    assert len(store.append(grown)) == 1


def test_two_visits_of_one_minute_are_two_cases():
    other = [{**LINES[0], "system": "another"}, *LINES[1:]]
    assert read(file_of())[0][0].log != read(file_of(other))[0][0].log


@pytest.mark.parametrize(
    "damage",
    [
        b"\x00\xff\xfe garbage\n",
        b'{"at": 1}\n',
        b"[" * 100_000 + b"\n",
        b'{"at":"x","event":{"what":"paused"}}\n',
        b'{"at":"2026-03-04T05:00:00Z","event":{"what":"sung"}}\n',
    ],
)
def test_damage_in_the_middle_is_passed_over(damage):
    lines = file_of().splitlines(keepends=True)
    entries, lost = read(b"".join([*lines[:2], damage, *lines[2:]]))
    assert lost == 1
    assert [entry.event for entry in entries if isinstance(entry.event, e.Ended)]
    assert len(entries) == len(LINES)


@pytest.mark.parametrize("cut", [1, 5, 20])
def test_a_line_that_was_cut_off_is_lost_alone(cut):
    entries, lost = read(file_of()[:-cut])
    assert (len(entries), lost) == ((9, 0) if cut == 1 else (8, 1))


@pytest.mark.parametrize("data", [b"", b"\n\n", b"not json\n", file_of(LINES[1:])])
def test_what_is_no_visit_is_refused(data):
    with pytest.raises(CasefileError, match=r"old\.jsonl: is no visit of faultnet"):
        read(data)


def test_a_name_that_leads_elsewhere_is_no_id():
    with pytest.raises(CasefileError):
        read(file_of(), "../secret")
