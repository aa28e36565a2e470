"""What can lie in a folder: every hostile thing is a problem, none a crash."""

import errno
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from faultnet.authoring.examples import read_examples
from faultnet.authoring.files import LARGEST
from faultnet.authoring.library import read_knowledge


def told(folder: Path) -> list[tuple[str, str]]:
    knowledge, problems = read_knowledge(folder)
    assert knowledge is None
    return [(each.code, each.file) for each in problems]


def test_too_large(folder: Path) -> None:
    (folder / "parts/big.yaml").write_bytes(b"# " + b"x" * 10_000_000)
    assert told(folder) == [("too-large", "knowledge/parts/big.yaml")]


def test_just_small_enough(folder: Path) -> None:
    head = b"part: big\ntitle: Big\n# "
    (folder / "parts/big.yaml").write_bytes(head + b"x" * (LARGEST - len(head) - 1) + b"\n")
    assert read_knowledge(folder)[1] == ()


def test_folder_with_the_name_of_a_file(folder: Path) -> None:
    (folder / "parts/x.yaml").mkdir()
    assert told(folder) == [("unreadable", "knowledge/parts/x.yaml")]


def test_link_to_itself(folder: Path) -> None:
    (folder / "parts/x.yaml").symlink_to("x.yaml")
    assert told(folder) == [("link-loop", "knowledge/parts/x.yaml")]


def test_folder_inside_itself(folder: Path) -> None:
    (folder / "parts/again").symlink_to(folder)
    assert told(folder) == [("link-loop", "knowledge/parts/again")]


def test_link_to_nothing(folder: Path) -> None:
    (folder / "parts/x.yaml").symlink_to("gone.yaml")
    assert told(folder) == [("unreadable", "knowledge/parts/x.yaml")]


def test_link_to_another_folder_is_followed(folder: Path, tmp_path: Path) -> None:
    (folder / "systems").rename(tmp_path / "elsewhere")
    (folder / "systems").symlink_to(tmp_path / "elsewhere")
    knowledge, problems = read_knowledge(folder)
    assert problems == ()
    assert knowledge is not None
    assert list(knowledge.systems) == ["jet-pump"]


def test_pipe_does_not_hang(folder: Path) -> None:
    os.mkfifo(folder / "parts/x.yaml")
    assert told(folder) == [("unreadable", "knowledge/parts/x.yaml")]


def test_file_that_may_not_be_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = Path.open

    def refusing(self: Path, *args: object, **more: object) -> object:
        if self.name == "suction.yaml":
            raise PermissionError(errno.EACCES, "Permission denied")
        return opened(self, *args, **more)

    monkeypatch.setattr(Path, "open", refusing)
    assert told(folder) == [("unreadable", "knowledge/parts/suction.yaml")]


def test_folder_that_may_not_be_listed(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    listed = Path.iterdir

    def refusing(self: Path) -> Iterator[Path]:
        if self.name == "parts":
            raise PermissionError(errno.EACCES, "Permission denied")
        return listed(self)

    monkeypatch.setattr(Path, "iterdir", refusing)
    assert told(folder) == [("unreadable", "knowledge/parts")]


def test_no_folder(tmp_path: Path) -> None:
    assert told(tmp_path / "nowhere") == [("unreadable", "nowhere")]


def test_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "knowledge").mkdir()
    assert told(tmp_path / "knowledge") == [
        ("missing-file", "knowledge/rates.yaml"), ("missing-file", "knowledge/words.yaml"),
    ]  # fmt: skip


def test_names_that_are_no_text(folder: Path) -> None:
    name = os.fsdecode(b"parts/\xff\n.yaml")
    (folder / name).write_text("part: x\ntitle: X\n", encoding="utf-8")
    assert {shown for _, shown in told(folder)} == {"knowledge/parts/??.yaml"}


def test_hidden_and_other_files_are_passed_over(folder: Path) -> None:
    (folder / "parts/.#suction.yaml").symlink_to("somebody@somewhere")
    (folder / ".git").mkdir()
    (folder / ".git/x.yaml").write_text("a: [", encoding="utf-8")
    (folder / "README.md").write_text("Read me.", encoding="utf-8")
    assert read_knowledge(folder)[1] == ()


def test_hostile_case_files(folder: Path) -> None:
    knowledge, _ = read_knowledge(folder)
    assert knowledge is not None
    (folder / "a.cases.yaml").symlink_to("a.cases.yaml")
    (folder / "b.cases.yaml").write_bytes(b"\xff")
    (folder / "c.cases.yaml").write_text("", encoding="utf-8")
    (folder / "d.cases.yaml").mkdir()
    examples, problems = read_examples(folder, knowledge)
    assert [each.code for each in problems] == [
        "link-loop", "not-utf-8", "empty-file", "unreadable",
    ]  # fmt: skip
    assert len(examples) == 2


def test_all_files_are_told_about_in_one_run(folder: Path) -> None:
    (folder / "parts/a.yaml").write_text("part: a\ntitle: A\nabuot: x\n", encoding="utf-8")
    (folder / "parts/b.yaml").write_text("part: b\ntitle:\n", encoding="utf-8")
    (folder / "words.yaml").write_bytes(b"\xff")
    (folder / "rates.yaml").write_text("trip: -1\n", encoding="utf-8")
    assert told(folder) == [
        ("unknown-key", "knowledge/parts/a.yaml"),
        ("wrong-type", "knowledge/parts/b.yaml"),
        *[("missing-key", "knowledge/rates.yaml")] * 6,
        ("no-provenance", "knowledge/rates.yaml"),
        ("number-out-of-range", "knowledge/rates.yaml"),
        ("not-utf-8", "knowledge/words.yaml"),
    ]


def test_a_broken_file_makes_no_false_problems_elsewhere(folder: Path) -> None:
    """Without suction.yaml half of the ids are unknown: only the broken file is told."""
    other = (
        "part: other\ntitle: Other\nfrom: judgement\nchecks:\n  look: {title: Look, "
        "minutes: 1, who: technician, reveals: [gauge-falls]}\n"
    )
    (folder / "parts/other.yaml").write_text(other, encoding="utf-8")
    assert read_knowledge(folder)[1] == ()
    (folder / "parts/suction.yaml").write_text("part: [", encoding="utf-8")
    assert told(folder) == [("syntax", "knowledge/parts/suction.yaml")]
