"""Knowledge kept on disk: found again by content, never trusted."""

import hashlib
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import msgspec
import pytest

from faultnet.authoring import library, store
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.problem import KnowledgeError
from faultnet.authoring.store import cached, load
from faultnet.model.knowledge import Knowledge


@pytest.fixture
def builds(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Return a list that grows with each building of knowledge."""
    counted: list[int] = []
    whole = library.knowledge_of

    def counting(*args: Any) -> Any:
        counted.append(1)
        return whole(*args)

    monkeypatch.setattr(library, "knowledge_of", counting)
    return counted


def kept_file() -> Path:
    (found,) = Path(os.environ["FAULTNET_CACHE"]).glob("*.bin")
    return found


def test_second_time_is_read_not_built(folder: Path, builds: list[int]) -> None:
    first = load(folder)
    assert load(folder) == first == read_knowledge(folder)[0]
    assert len(builds) == 2  # the load, and the reading in the line above


def test_change_of_a_byte_is_seen(folder: Path) -> None:
    before = load(folder)
    path = folder / "parts/suction.yaml"
    path.write_text(path.read_text().replace("title: Prime lost", "title: Prime gone"))
    after = load(folder)
    assert after.causes["prime-lost"].title == "Prime gone"
    assert after.version != before.version


def test_renamed_file_is_seen(folder: Path) -> None:
    before = load(folder)
    (folder / "systems/jet-pump.yaml").rename(folder / "systems/other.yaml")
    after = load(folder)
    assert after.version != before.version
    assert after.systems["jet-pump"].origin.file == "knowledge/systems/other.yaml"


def test_error_is_raised_and_not_kept(folder: Path) -> None:
    (folder / "parts/bad.yaml").write_text("part: bad\n", encoding="utf-8")
    for _ in range(2):
        with pytest.raises(KnowledgeError) as raised:
            load(folder)
        assert [each.code for each in raised.value.problems] == ["missing-key"]
        assert str(raised.value) == "1 error in the knowledge files"
    assert not list(Path(os.environ["FAULTNET_CACHE"]).glob("*"))


def test_no_folder_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError):
        load(tmp_path / "nowhere")


def foreign(kept: bytes) -> list[bytes]:
    wrong = msgspec.msgpack.encode({"version": 1})
    return [
        b"",
        b"x",
        kept[:-1],
        kept[:40],
        kept + b"x",
        kept[:100] + bytes([kept[100] ^ 1]) + kept[101:],
        hashlib.sha256(wrong).digest() + wrong,
        hashlib.sha256(b"\xc1").digest() + b"\xc1",
        hashlib.sha256(b"").digest(),
        b"cos\nsystem\n(S'echo no'\ntR.",
        hashlib.sha256(b"\x91" * 100_000).digest() + b"\x91" * 100_000,
    ]


@pytest.mark.parametrize("number", range(11))
def test_damaged_is_built_anew(folder: Path, builds: list[int], number: int) -> None:
    good = load(folder)
    path = kept_file()
    damage = foreign(path.read_bytes())
    path.write_bytes(damage[number])
    assert load(folder) == good
    assert load(folder) == good
    assert len(builds) == 2


def test_kept_file_that_is_a_folder(folder: Path) -> None:
    good = load(folder)
    path = kept_file()
    path.unlink()
    path.mkdir()
    assert load(folder) == good
    assert not list(path.parent.glob("*.new"))


@pytest.mark.parametrize("place", ["/proc/nowhere", "/dev/null/x", ""])
def test_where_nothing_can_be_written(
    folder: Path, place: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FAULTNET_CACHE", place)
    assert load(folder) == read_knowledge(folder)[0]


def test_full_disk_is_no_error(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    assert load(folder) == read_knowledge(folder)[0]
    assert not list(Path(os.environ["FAULTNET_CACHE"]).glob("*"))


def test_changed_program_builds_anew(
    folder: Path, builds: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    load(folder)
    monkeypatch.setattr(store, "_source", lambda rooms: f"other {rooms}")
    load(folder)
    assert len(builds) == 2


def test_unreadable_source_falls_back_on_the_version(monkeypatch: pytest.MonkeyPatch) -> None:
    store._source.cache_clear()
    monkeypatch.setattr(store, "__file__", "/nowhere/faultnet/authoring/store.py")
    assert store._source(("model",)) == store._version()
    store._source.cache_clear()


def test_two_at_once(folder: Path) -> None:
    code = (
        "import sys, pathlib; from faultnet.authoring.store import load; "
        "print(load(pathlib.Path(sys.argv[1])).version)"
    )
    root = Path(store.__file__).parents[2]

    def run(_: int) -> str:
        done = subprocess.run(
            [sys.executable, "-c", code, str(folder)],
            capture_output=True, text=True, check=True, cwd=root,
        )  # fmt: skip
        return done.stdout.strip()

    with ThreadPoolExecutor(4) as pool:
        versions = set(pool.map(run, range(8)))
    assert versions == {load(folder).version}
    assert [path.suffix for path in Path(os.environ["FAULTNET_CACHE"]).iterdir()] == [".bin"]


def test_warm_reading_imports_no_yaml(folder: Path) -> None:
    load(folder)
    code = (
        "import sys, pathlib; from faultnet.authoring.store import load; "
        "load(pathlib.Path(sys.argv[1])); print([m for m in "
        "('yaml', 'platformdirs', 'numpy', 'pickle', 'difflib') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(folder)],
        capture_output=True, text=True, check=True, cwd=Path(store.__file__).parents[2],
    )  # fmt: skip
    assert done.stdout == "[]\n"


def test_any_value_can_be_kept() -> None:
    made: list[int] = []

    def make() -> dict[str, list[float]]:
        made.append(1)
        return {"a": [0.25]}

    for _ in range(2):
        assert cached("table", "key", dict[str, list[float]], make) == {"a": [0.25]}
    assert cached("table", "other key", dict[str, list[float]], make) == {"a": [0.25]}
    assert len(made) == 2


def test_only_the_newest_stay() -> None:
    for number in range(20):
        cached("table", str(number), int, lambda: 1)
    assert len(list(Path(os.environ["FAULTNET_CACHE"]).glob("table-*.bin"))) == 16


def test_usual_place_is_that_of_the_user(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("FAULTNET_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    found = store.cache_folder()
    assert found is not None
    assert found.is_relative_to(tmp_path)
    assert "faultnet" in found.parts


def test_knowledge_survives_the_way_to_disk_and_back(folder: Path) -> None:
    knowledge = read_knowledge(folder)[0]
    packed = msgspec.msgpack.encode(knowledge)
    assert msgspec.msgpack.decode(packed, type=Knowledge) == knowledge
