"""What is on which truck: read from a file of the office, bad ones told at their place."""

from pathlib import Path

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.trucks import read_trucks

GOOD = "as-of: 2026-03-04\ntrucks:\n  van-1: {jet-kits: 2, capacitors: 0}\n  van-2: {}\n"


@pytest.fixture(scope="module")
def shipped():
    knowledge, _ = read_knowledge(shipped_folder())
    return knowledge


def read(shipped, folder: Path, text: str):
    (folder / "trucks.yaml").write_text(text, encoding="utf-8")
    return read_trucks(folder / "trucks.yaml", shipped)


def test_only_what_is_there_is_on_it(shipped, tmp_path):
    trucks, problems = read(shipped, tmp_path, GOOD)
    assert problems == ()
    assert trucks.as_of == "2026-03-04"
    assert trucks.on("van-1") == {"jet-kits"}
    assert trucks.on("van-2") == frozenset()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("trucks:\n  van-1: {jet-kit: 2}\n", "unknown-id 2:11"),
        ("trucks:\n  van-1: {jet-kits: -2}\n", "number-out-of-range 2:21"),
        ("trucks:\n  van-1: {jet-kits: two}\n", "wrong-type 2:21"),
        ("trucks:\n  Van 1: {jet-kits: 2}\n", "id-not-kebab 2:3"),
        ("trucks: {}\n", "missing-key 0:0"),
        ("trcks:\n  van-1: {}\n", "missing-key 1:1"),
        ("- van-1\n", "wrong-type 1:1"),
        ("trucks: [\n", "syntax"),
        ("", "empty-file"),
    ],
)
def test_a_fault_is_told_with_place_and_mend(shipped, tmp_path, text, told):
    trucks, problems = read(shipped, tmp_path, text)
    assert trucks is None
    assert any(f"{p.code} {p.line}:{p.column}".startswith(told) for p in problems)
    assert all(p.file == "trucks.yaml" and p.message and p.hint for p in problems)


def test_a_file_that_is_not_there_is_told(shipped, tmp_path):
    trucks, problems = read_trucks(tmp_path / "none.yaml", shipped)
    assert trucks is None
    assert [p.code for p in problems] == ["unreadable"]


def test_everything_that_work_takes_can_be_loaded_or_is_arranged(shipped):
    taken = {p for repair in shipped.repairs.values() for p in repair.parts}
    for each in (*shipped.repairs.values(), *shipped.checks.values()):
        taken |= set(each.work.tools)
    offered = [name for item in shipped.stock.values() for name in item.provides]
    arranged = {name for entry in shipped.lead_times.values() for name in entry.needs}
    assert taken - set(offered) <= arranged
    assert len(offered) == len(set(offered))
