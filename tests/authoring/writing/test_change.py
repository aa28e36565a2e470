"""Files are written all or none, keep their mode, and are left alone when they changed."""

from pathlib import Path

import pytest

from faultnet.authoring.writing.change import Change, ChangedMeanwhileError, write


def test_written_with_the_mode_kept(tmp_path):
    old = tmp_path / "a.yaml"
    old.write_bytes(b"a: 1\n")
    old.chmod(0o640)
    write(tmp_path, (Change("a.yaml", b"a: 1\n", b"a: 2\n"), Change("b/c.yaml", None, b"c: 1\n")))
    assert old.read_bytes() == b"a: 2\n"
    assert old.stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "b/c.yaml").read_bytes() == b"c: 1\n"
    assert sorted(each.name for each in tmp_path.rglob("*")) == ["a.yaml", "b", "c.yaml"]


def test_nothing_is_written_when_one_file_changed(tmp_path):
    (tmp_path / "a.yaml").write_bytes(b"a: 1\n")
    (tmp_path / "b.yaml").write_bytes(b"b: 3\n")
    changes = (Change("a.yaml", b"a: 1\n", b"a: 2\n"), Change("b.yaml", b"b: 1\n", b"b: 2\n"))
    with pytest.raises(ChangedMeanwhileError, match=r"b\.yaml has changed meanwhile"):
        write(tmp_path, changes)
    assert (tmp_path / "a.yaml").read_bytes() == b"a: 1\n"
    assert sorted(each.name for each in tmp_path.iterdir()) == ["a.yaml", "b.yaml"]


@pytest.mark.parametrize("there", [b"x: 1\n", None])
def test_a_file_that_came_or_went_meanwhile(tmp_path, there):
    if there is not None:
        (tmp_path / "a.yaml").write_bytes(there)
    change = Change("a.yaml", None if there else b"x: 1\n", b"x: 2\n")
    with pytest.raises(ChangedMeanwhileError):
        write(tmp_path, (change,))


def test_a_link_stays_a_link(tmp_path):
    (tmp_path / "real.yaml").write_bytes(b"a: 1\n")
    (tmp_path / "a.yaml").symlink_to("real.yaml")
    write(tmp_path, (Change("a.yaml", b"a: 1\n", b"a: 2\n"),))
    assert (tmp_path / "a.yaml").is_symlink()
    assert (tmp_path / "real.yaml").read_bytes() == b"a: 2\n"


def test_lines():
    change = Change("a.yaml", b"a: 1\r\nb: 2", b"a: 1\r\nc: 3\r\nb: 2")
    end = "b: 2  (no line break at the end)"
    assert change.lines() == [
        "--- a.yaml",
        "+++ a.yaml",
        "@@ -1,2 +1,3 @@",
        " a: 1",
        "+c: 3",
        f" {end}",
    ]
    assert Change("n.yaml", None, b"a: 1\n").lines()[:2] == ["--- /dev/null", "+++ n.yaml"]


def test_broken_off_in_the_middle_all_stands_as_before(tmp_path, monkeypatch):
    """Ctrl-C between two files: the first one is put back, and the new one is gone."""
    (tmp_path / "a.yaml").write_bytes(b"a: 1\n")
    (tmp_path / "c.yaml").write_bytes(b"c: 1\n")
    changes = (
        Change("a.yaml", b"a: 1\n", b"a: 2\n"),
        Change("b.yaml", None, b"b: 2\n"),
        Change("c.yaml", b"c: 1\n", b"c: 2\n"),
    )
    real = Path.replace

    def broken(self, target):
        if Path(target).name == "c.yaml":
            raise KeyboardInterrupt
        return real(self, target)

    monkeypatch.setattr(Path, "replace", broken)
    with pytest.raises(KeyboardInterrupt):
        write(tmp_path, changes)
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {
        "a.yaml": b"a: 1\n",
        "c.yaml": b"c: 1\n",
    }
