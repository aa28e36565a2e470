"""The one boundary: faults of ours, interrupts, and a reader that goes away."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from faultnet.cli import where
from tests.cli.conftest import CISTERN, ROOT, start

BASH = shutil.which("bash") or "bash"


@pytest.fixture
def failing(monkeypatch):
    """Let `where` raise an error."""

    def fail(error):
        def raised():
            raise error

        monkeypatch.setattr(where, "data_folder", raised)

    return fail


def test_fault_of_ours_is_one_line_and_a_report(faultnet, failing):
    failing(ZeroDivisionError("seven over nothing"))
    ran = faultnet("where")
    assert (ran.code, ran.out) == (3, "")
    assert ran.err.count("\n") == 1
    assert "fault of faultnet" in ran.err
    report = Path(ran.err.rpartition(" in ")[2].strip().rstrip("."))
    assert report.parent.name == "faultnet"
    text = report.read_text()
    assert "ZeroDivisionError: seven over nothing" in text
    assert "arguments: ['where']" in text


def test_fault_of_ours_as_json(faultnet, failing):
    failing(AssertionError())
    ran = faultnet("where", "--json")
    assert (ran.code, ran.err) == (3, "")
    error = ran.json["error"]
    assert error["kind"] == "fault"
    assert Path(error["report"]).is_file()


def test_report_goes_to_the_temporary_folder_where_no_other_can_be(
    faultnet, failing, monkeypatch, tmp_path
):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    failing(RuntimeError())
    error = faultnet("where", "--json").json["error"]
    assert Path(error["report"]).parent == tmp_path


def test_no_report_can_be_written(faultnet, failing, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "file"))
    failing(RuntimeError())
    ran = faultnet("where")
    assert ran.code == 3
    assert "no report could be written" in ran.err


@pytest.mark.parametrize("error", [KeyboardInterrupt(), EOFError()])
def test_interrupted(faultnet, failing, error):
    failing(error)
    assert faultnet("where").code == 130
    ran = faultnet("where", "--json")
    assert ran.code == 130
    assert '"interrupted"' in ran.out


def test_reader_that_goes_away():
    line = f"{sys.executable} -m faultnet rank {CISTERN} --all | true; echo ${{PIPESTATUS[0]}}"
    for _ in range(3):
        done = subprocess.run(
            [BASH, "-c", line], capture_output=True, text=True, cwd=ROOT, check=False
        )
        assert done.stderr == ""
        assert done.stdout.strip() in {"0", "141"}


def test_reader_that_is_gone_before_the_first_line():
    reader, writer = os.pipe()
    os.close(reader)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "faultnet", "systems"],
            stdout=writer,
            stderr=subprocess.PIPE,
            text=True,
            cwd=ROOT,
            check=False,
        )
    finally:
        os.close(writer)
    assert (done.returncode, done.stderr) == (141, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a disk always full")
@pytest.mark.parametrize("extra", [[], ["--json"]])
def test_full_disk(extra):
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "faultnet", "systems", *extra],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            cwd=ROOT,
            check=False,
        )
    assert done.returncode == 1
    assert done.stderr == "The result cannot be written: No space left on device.\n"


def test_no_standard_output_at_all():
    line = f"{sys.executable} -m faultnet systems >&-"
    done = subprocess.run([BASH, "-c", line], capture_output=True, text=True, cwd=ROOT, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_terminal_that_knows_ascii_alone():
    ran = start("rank", CISTERN, PYTHONIOENCODING="ascii")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.isascii()
    assert "=" in ran.out
