"""Visits on disk: written at once, and little is lost when the power goes."""

import time

import pytest

from faultnet.visit import events as e
from faultnet.visit import log as visit_log
from faultnet.visit.kept import CannotKeepError, all_visits, read_visit
from faultnet.visit.log import new_log, open_log

OPENED = e.Opened("small-pump", knowledge="x")
EVENTS = (
    OPENED,
    e.Denied(("tingle",)),
    e.Told("no-water", "yes"),
    e.Measured("hold", {"start": 50.0, "end": 44.0, "minutes": 15.0}),
    e.SetUpMade(("power-locked-out",)),
    e.Works(works=False),
    e.Undone(),
)


def write(folder, *events):
    log = new_log(folder)
    for event in events:
        log.append(event)
    log.close()
    return log.id


def test_what_is_written_is_read_again(tmp_path):
    name = write(tmp_path, *EVENTS)
    kept = read_visit(tmp_path, name)
    assert kept is not None
    assert kept.events == EVENTS
    assert kept.opened == OPENED
    assert kept.lost == 0
    assert kept.ended == ""


def test_every_event_of_the_module_can_be_kept(tmp_path):
    made = [cls(*(_sample(f) for f in cls.__struct_fields__)) for cls in e.Event.__subclasses__()]
    assert len(made) > 15
    name = write(tmp_path, *made)
    kept = read_visit(tmp_path, name)
    assert kept is not None
    assert kept.events == tuple(made)


def _sample(field):
    samples = {"findings": ("a",), "set_ups": ("a",), "parts": {"a": 1.0}, "round": 1}
    return samples.get(field, True if field == "works" else "a")


def test_every_event_is_on_the_disk_before_the_next_question(tmp_path, monkeypatch):
    synced = []
    log = new_log(tmp_path)
    monkeypatch.setattr(visit_log.os, "fsync", synced.append)
    for number, event in enumerate(EVENTS, 1):
        log.append(event)
        assert len(synced) == number
        kept = read_visit(tmp_path, log.id)
        assert kept is not None
        assert kept.events[-1] == event
    log.close()


@pytest.mark.parametrize("cut", [1, 5, 20])
def test_a_line_that_was_cut_off_is_lost_alone(tmp_path, cut):
    name = write(tmp_path, *EVENTS)
    path = tmp_path / f"{name}.jsonl"
    path.write_bytes(path.read_bytes()[:-cut])
    kept = read_visit(tmp_path, name)
    assert kept is not None
    whole = cut == 1  # only the end of the line is missing
    assert kept.events == (EVENTS if whole else EVENTS[:-1])
    assert kept.lost == (0 if whole else 1)


def test_what_is_written_after_a_cut_off_line_is_not_lost(tmp_path):
    name = write(tmp_path, *EVENTS)
    path = tmp_path / f"{name}.jsonl"
    path.write_bytes(path.read_bytes()[:-9])
    log = open_log(tmp_path, name)
    log.append(e.Told("clicks", "no"))
    log.close()
    kept = read_visit(tmp_path, name)
    assert kept is not None
    assert kept.events == (*EVENTS[:-1], e.Told("clicks", "no"))
    assert kept.lost == 1


@pytest.mark.parametrize(
    "damage",
    [
        b"\x00\xff\xfe garbage\n",
        b'{"at": 1}\n',
        b"[" * 100_000 + b"\n",
        b'{"at":"x","event":{"what":"new"}}\n',
    ],
)
def test_damage_in_the_middle_is_passed_over(tmp_path, damage):
    name = write(tmp_path, *EVENTS)
    path = tmp_path / f"{name}.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:2], damage, *lines[2:]]))
    kept = read_visit(tmp_path, name)
    assert kept is not None
    assert kept.events == EVENTS
    assert kept.lost == 1


def test_a_file_that_is_no_visit_is_told_apart(tmp_path):
    (tmp_path / "20200101-0101.jsonl").write_bytes(b"")
    (tmp_path / "notes.jsonl").write_text("{}")
    (tmp_path / "20200101-0102.jsonl").mkdir()
    kept = all_visits(tmp_path)
    assert [each.id for each in kept] == ["20200101-0101"]
    assert kept[0].opened is None


@pytest.mark.parametrize(
    "name", ["../secret", "", "20200101-0101/..", "x" * 500, "20200101-0101\x00"]
)
def test_a_name_never_leads_out_of_the_folder(tmp_path, name):
    assert read_visit(tmp_path, name) is None


def test_visits_of_one_minute_get_names_of_their_own_and_the_latest_is_first(tmp_path, monkeypatch):
    monkeypatch.setattr(time, "strftime", lambda *_: "20240102-0304")
    names = [write(tmp_path, OPENED) for _ in range(11)]
    assert len(set(names)) == 11
    assert [kept.id for kept in all_visits(tmp_path)] == list(reversed(names))


def test_nobody_else_writes_meanwhile(tmp_path):
    log = new_log(tmp_path)
    log.append(OPENED)
    with pytest.raises(CannotKeepError, match="open in another window"):
        open_log(tmp_path, log.id)
    log.close()
    open_log(tmp_path, log.id).close()


def test_where_nothing_can_be_written_it_says_so(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(CannotKeepError, match="cannot be written"):
        new_log(tmp_path / "file" / "visits")
    with pytest.raises(CannotKeepError, match="cannot be written"):
        open_log(tmp_path, "20200101-0101")


def test_a_full_disk_is_told(tmp_path, monkeypatch):
    log = new_log(tmp_path)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(visit_log.os, "write", full)
    with pytest.raises(CannotKeepError, match="No space left"):
        log.append(OPENED)
    monkeypatch.undo()
    log.close()


def test_only_the_owner_can_read_it(tmp_path):
    name = write(tmp_path, OPENED)
    assert (tmp_path / f"{name}.jsonl").stat().st_mode & 0o077 == 0


def test_how_it_ended_is_known(tmp_path):
    name = write(tmp_path, *EVENTS, e.Ended("mended"))
    kept = read_visit(tmp_path, name)
    assert kept is not None
    assert kept.ended == "mended"
