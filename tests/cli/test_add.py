"""`add` on pipes and terminals, and `schema`: shown first, written in place, or not at all."""

import io
import json
import shutil
import subprocess
import sys

import pytest

from faultnet.authoring.schema.kinds import KINDS
from tests.authoring.adding.answers import CAUSE, CHECK, FINDING
from tests.bound import bound_by_permissions
from tests.cli.conftest import ROOT, SMALL
from tests.cli.terminal import Terminal

TYPED = (
    "1\nStrainer clogged\n\n3\n2\n"  # part, title, id, how common, where from
    "no pressure\n1\n2\n\n"  # it shows no pressure, often
    "\n1\nprime\n1\n"  # any layout, a repair that is there
    "3\n\n2\n"  # no check, no remark, no case
)


@pytest.fixture
def folder(tmp_path):
    return shutil.copytree(SMALL, tmp_path / "mine")


@pytest.fixture
def answers(tmp_path):
    path = tmp_path / "answers.yaml"
    path.write_text(CAUSE)
    return path


def typed_into(folder, text, *more):
    words = [sys.executable, "-m", "faultnet", "add", "cause", str(folder), *more]
    return subprocess.run(
        words, input=text, capture_output=True, text=True, cwd=ROOT, check=False, timeout=120
    )


def bytes_of(folder):
    return {path: path.read_bytes() for path in folder.rglob("*.yaml")}


def test_the_change_is_shown_and_nothing_written(faultnet, folder, answers):
    before = bytes_of(folder)
    ran = faultnet("add", "cause", folder, "--answers", answers)
    assert (ran.code, ran.err) == (0, "")
    assert "+  strainer-clogged:" in ran.out
    assert "+++ parts/suction.cases.yaml" in ran.out
    assert ran.out.endswith("Nothing was written; with --yes it is.\n")
    assert bytes_of(folder) == before


@pytest.mark.parametrize(
    ("kind", "text"), [("cause", CAUSE), ("finding", FINDING), ("check", CHECK)]
)
def test_written_with_yes(faultnet, folder, answers, kind, text):
    answers.write_text(text)
    ran = faultnet("add", kind, folder, "--answers", answers, "--yes", "--json")
    assert (ran.code, ran.err) == (0, "")
    assert ran.json["written"]
    assert ran.json["problems"] == []
    assert ran.json["changes"][0]["file"] == "parts/suction.yaml"
    assert faultnet("lint", folder, "--json").json["errors"] == 0
    again = faultnet("add", kind, folder, "--answers", answers)
    assert again.code == 1
    assert "stands there already" in again.err


def test_answers_on_standard_input(faultnet, folder, monkeypatch):
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(CAUSE.encode())))
    ran = faultnet("add", "cause", folder, "--answers", "-", "--yes")
    assert ran.code == 0
    assert "Now run: faultnet prove" in ran.out


def test_an_error_is_told_and_nothing_written(faultnet, folder, answers):
    before = bytes_of(folder)
    answers.write_text(CAUSE.replace("power: locked-out", "power: on"))
    ran = faultnet("add", "cause", folder, "--answers", answers, "--yes")
    assert ran.code == 1
    assert "error [unsafe-step] clean-strainer" in ran.out
    assert ran.out.endswith("Nothing was written: an error stands.\n")
    assert bytes_of(folder) == before


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ("", 1, "The file holds nothing"),
        ("- a\n", 1, "keys with values"),
        ("part: [\n", 1, "This is not YAML"),
        ("id: x\n", 2, "`part` is missing"),
    ],
)
def test_answers_that_cannot_be_read(faultnet, folder, answers, text, code, said):
    answers.write_text(text)
    ran = faultnet("add", "cause", folder, "--answers", answers)
    assert ran.code == code
    assert said in ran.err


def test_broken_knowledge_is_mended_first(faultnet, folder, answers):
    (folder / "words.yaml").write_text("likelihood: 3\n")
    ran = faultnet("add", "cause", folder, "--answers", answers)
    assert ran.code == 1
    assert "[wrong-type]" in ran.err


def test_json_asks_nothing(faultnet, folder):
    assert faultnet("add", "cause", folder, "--json").code == 2


def test_what_came_with_the_program_is_copied_first(faultnet, folder, answers, monkeypatch):
    monkeypatch.setattr("faultnet.authoring.shipped.inside", lambda: folder)
    ran = faultnet("add", "cause", folder, "--answers", answers, "--yes")
    assert ran.code == 2
    assert "came with the program" in ran.err
    assert "cp -r" in ran.err


def test_a_folder_that_cannot_be_written_to(faultnet, folder, answers):
    folder.chmod(0o500)
    words = ("add", "cause", folder, "--answers", answers, "--yes")
    ran = bound_by_permissions(lambda: faultnet(*words))
    folder.chmod(0o700)
    assert ran.code == 2
    assert "cannot be written to" in ran.err


def test_guided_through_a_pipe(folder):
    done = typed_into(folder, TYPED + "y\n")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Written: " in done.stdout
    text = (folder / "parts/suction.yaml").read_text()
    entry = """\
  strainer-clogged:
    title: Strainer clogged
    how-common: rare
    from: practice
    shows:
      no-pressure: often
    repair: prime-again
"""
    assert entry in text
    assert text.replace(entry, "") == (SMALL / "parts/suction.yaml").read_text()


@pytest.mark.parametrize("end", ["q\n", "", "u\nq\n"])
def test_stopped_before_it_is_written(folder, end):
    before = bytes_of(folder)
    done = typed_into(folder, TYPED + end)
    assert done.returncode == 0
    assert "Nothing was written." in done.stdout
    assert bytes_of(folder) == before


def test_on_a_narrow_terminal(folder):
    terminal = Terminal("add", "cause", folder, columns=40)
    terminal.wait("Which part does it belong to?")
    terminal.press("1")
    terminal.wait("What is the fault called?")
    assert all(len(line) <= 40 for line in terminal.plain.splitlines())
    terminal.press("q\r")
    terminal.wait("Nothing was written.")
    assert terminal.ended() == 0


def test_schema_lists_kinds(faultnet):
    assert "part " in faultnet("schema").out


def test_schema_of_a_kind(faultnet):
    ran = faultnet("schema", "part")
    assert json.loads(ran.out)["title"] == "faultnet: part"
    assert ran.json == faultnet("schema", "part", "--json").json["schemas"]["part"]


def test_schema_of_what_is_no_kind(faultnet):
    ran = faultnet("schema", "prat")
    assert ran.code == 2
    assert "Did you mean `part`?" in ran.err


def test_schemas_are_written(faultnet, tmp_path):
    ran = faultnet("schema", "--write", tmp_path / "schema", "--json")
    assert len(ran.json["written"]) == len(KINDS)
    assert json.loads((tmp_path / "schema/words.json").read_text())["required"]
    (tmp_path / "file").write_text("")
    assert faultnet("schema", "--write", tmp_path / "file/below").code == 1
