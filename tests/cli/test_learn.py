"""`learn` on invented cases: shown, accepted by name, as a patch, guided; and bad input."""

import json
import os
import shutil
import subprocess
import sys

import msgspec
import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.cli.main import run
from faultnet.learning.reading.written import write_cases
from tests.bound import bound_by_permissions
from tests.cli.conftest import ROOT, SMALL
from tests.learning.proposal.cases import closed_cases

QUICK = ("--workers", "1", "--calls", "4", "--look", "6")


@pytest.fixture(scope="module")
def cases(tmp_path_factory):
    """Cases of the small system in which lifting the line takes far longer than the file says."""
    knowledge, _ = read_knowledge(SMALL)
    path = tmp_path_factory.mktemp("closed") / "closed.jsonl"
    subject = make_subject(knowledge, "jet-pump")
    write_cases(path, closed_cases(subject, 60, minutes={("check", "lift-the-line"): 14.0}))
    return path


@pytest.fixture
def folder(tmp_path):
    return shutil.copytree(SMALL, tmp_path / "mine")


@pytest.fixture
def learn(faultnet, cases, folder):
    def ran(*arguments, source=cases):
        return faultnet("learn", source, "--knowledge", folder, *QUICK, *arguments)

    return ran


def bytes_of(folder):
    return {path: path.read_bytes() for path in folder.rglob("*.yaml")}


def test_the_proposal_is_shown_and_nothing_changed(learn, folder):
    before = bytes_of(folder)
    ran = learn("--what", "minutes")
    assert (ran.code, ran.err) == (0, "")
    assert "60 cases, closed 2026-01-01 to 2026-01-18." in ran.out
    assert "lift-the-line: minutes of work" in ran.out
    assert "5 in the file, 1" in ran.out
    assert "Nothing is changed." in ran.out
    assert bytes_of(folder) == before


def test_all_of_it_as_json(learn):
    found = learn("--json").json
    assert found["schema_version"] == 1
    assert found["cases"]["used"] == 60
    assert found["writing"] is None
    sections = [each["section"] for each in found["offers"]]
    assert sections == sorted(sections, key=["how-common", "minutes", "strengths"].index)
    evidence = found["offers"][0]["numbers"][0]["evidence"]
    assert evidence["interval"]["low"] <= evidence["value"] <= evidence["interval"]["high"]


def test_accepted_by_name_and_written_with_yes(learn, faultnet, folder):
    ran = learn("--what", "minutes", "--accept", "lift-the-line", "--yes")
    assert (ran.code, ran.err) == (0, "")
    assert "-    minutes: 5" in ran.out
    assert "What it does to closed cases" in ran.out
    assert "Now run: faultnet prove" in ran.out
    linted = faultnet("lint", folder, "--json").json
    assert linted["errors"] == 0
    assert faultnet("prove", folder).code == faultnet("prove", SMALL).code
    assert (folder / "learnt/closed-cases-2026-01.yaml").is_file()


def test_as_a_patch(learn, folder, tmp_path):
    before, file = bytes_of(folder), tmp_path / "learnt.patch"
    ran = learn("--what", "minutes", "--write-patch", file, "--json")
    assert (ran.code, ran.json["writing"]["patch"]) == (0, str(file))
    assert not ran.json["writing"]["written"]
    assert bytes_of(folder) == before
    taken = [shutil.which("git") or "git", "apply", str(file)]
    subprocess.run(taken, cwd=folder, check=True)
    assert "from: closed-cases-2026-01" in (folder / "parts/suction.yaml").read_text()
    assert learn("--write-patch", file).code == 2


def guided(cases, folder, keys):
    words = [sys.executable, "-m", "faultnet", "learn", str(cases), "--knowledge", str(folder)]
    return subprocess.run(
        [*words, *QUICK, "--what", "minutes", "--accept", "guided"],
        input="".join(f"{key}\n" for key in keys),
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ},
        check=False,
        timeout=120,
    )


def test_guided(cases, folder):
    before = bytes_of(folder)
    done = guided(cases, folder, "wuny")
    assert done.returncode == 0, done.stderr
    assert "The cases alone say" in done.stdout
    assert "Nothing was accepted" in done.stdout
    assert bytes_of(folder) == before
    done = guided(cases, folder, "yuyy")
    assert "Written: " in done.stdout
    assert bytes_of(folder) != before


def test_what_cannot_be_used_is_counted_and_named(learn, cases, tmp_path):
    lines = cases.read_text().splitlines()
    odd = json.loads(lines[5])
    odd["id"], odd["confirmed"] = "weir-lane", [{"cause": "pipe-crackd"}]
    path = tmp_path / "odd.jsonl"
    path.write_text("\n".join([*lines[:20], lines[0], "{not json", json.dumps(odd)]) + "\n")
    ran = learn("--what", "minutes", source=path)
    assert ran.code == 0
    assert "20 cases, closed" in ran.out
    for text in ("1, not json", "1, same id", "1, unknown id", "Did you mean `pipe-cracked`"):
        assert text in ran.out


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("--system", "jet-pomp"), 2, "Did you mean `jet-pump`?"),
        (("--what", "colour"), 2, "none of how-common, minutes, strengths"),
        (("--until", "spring"), 2, "write it as 2026-09-30"),
        (("--since", "2026-02-01", "--until", "2026-01-01"), 2, "lies after --until"),
        (("--accept", "guided", "--json"), 2, "--json asks nothing"),
        (("--what", "minutes", "--accept", "lift-the-lien", "--yes"), 2, "no proposed number"),
    ],
)
def test_what_is_not_understood(learn, folder, arguments, code, said):
    before = bytes_of(folder)
    ran = learn(*arguments)
    assert ran.code == code
    assert said in ran.err + ran.out
    assert bytes_of(folder) == before


def test_no_case_in_the_days_asked_for(learn):
    ran = learn("--since", "2027-01-01")
    assert ran.code == 1
    assert "No case to learn from." in ran.out
    assert "60 cases closed earlier not learnt from." in ran.out


def test_no_case_at_all(learn, tmp_path):
    path = tmp_path / "none.jsonl"
    path.write_text("{}\n")
    ran = learn(source=path)
    assert ran.code == 2
    assert "No case can be learnt from. Set aside: 1" in ran.err
    assert learn(source=tmp_path / "nowhere.jsonl").code == 2


def test_a_folder_that_cannot_be_written_to(learn, folder):
    folder.chmod(0o500)
    ran = bound_by_permissions(lambda: learn("--accept", "all", "--yes"))
    folder.chmod(0o700)
    assert ran.code == 2
    assert "cannot be written to" in ran.err


def test_changed_meanwhile(learn, folder, monkeypatch):
    from faultnet.learning.proposal import prepared

    part, real = folder / "parts/suction.yaml", prepared.accepted

    def meanwhile(*given):
        part.write_text(part.read_text() + "# somebody else\n")
        return real(*given)

    monkeypatch.setattr("faultnet.learning.proposal.prepared.accepted", meanwhile)
    ran = learn("--what", "minutes", "--accept", "all", "--yes")
    assert ran.code == 1
    assert "has changed meanwhile; nothing was written" in ran.err
    assert not (folder / "learnt").exists() or not list((folder / "learnt").iterdir())


def test_interrupted(cases, folder, monkeypatch, capsys):
    before = bytes_of(folder)

    def interrupted(*_given):
        raise KeyboardInterrupt

    monkeypatch.setattr("faultnet.cli.learn_written.written", interrupted)
    words = ["learn", str(cases), "--knowledge", str(folder), *QUICK, "--what", "minutes"]
    assert run([*words, "--accept", "all", "--yes"]) == 130
    assert "Interrupted." in capsys.readouterr().err
    assert bytes_of(folder) == before


def test_several_systems_are_told(learn, folder, cases, tmp_path):
    system = (folder / "systems/jet-pump.yaml").read_text()
    (folder / "systems/second.yaml").write_text(
        system.replace("system: jet-pump", "system: second")
    )
    lines = cases.read_text().splitlines()
    other = msgspec.json.decode(lines[1])
    other["system"] = "second"
    path = tmp_path / "both.jsonl"
    path.write_text("\n".join([*lines[:3], json.dumps({**other, "id": "weir-lane"})]) + "\n")
    ran = learn(source=path)
    assert ran.code == 2
    assert "jet-pump (3), second (1). Name one: --system." in ran.err
