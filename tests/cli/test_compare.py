"""`compare` and the choices of `prove`: what is shown, and with which exit code."""

import shutil

import pytest

from tests.cli.conftest import SMALL


@pytest.fixture
def folders(tmp_path):
    old, new = tmp_path / "old" / "knowledge", tmp_path / "new" / "knowledge"
    for each in (old, new):
        shutil.copytree(SMALL, each)
        replace(each, "next: [look-at-prime]", "", "parts/suction.cases.yaml")
    return old, new


def replace(folder, old, new, file="parts/suction.yaml"):
    path = folder / file
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def test_the_same_says_so(faultnet, folders):
    ran = faultnet("compare", *folders)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.endswith("The files say the same.\n")


def test_a_changed_number_in_text(faultnet, folders):
    replace(folders[1], "how-common: rare", "how-common: 0.03")
    ran = faultnet("compare", *folders, "--calls", 4, "--worst", 1)
    assert ran.code == 0
    for told in (
        "  - cause pipe-cracked: changed\n    knowledge/parts/suction.yaml:28:3\n",
        "      how-common: rare (judgement) \u2192 0.03 (judgement)\n",
        "  - 2 cases: 2 differ",
        "  - 4 simulated calls: 4 differ",
        "What differs most",
        "at fault: pipe-cracked",
        "and 5 more; --worst shows more, --json all.",
    ):
        assert told in ran.out
    wide = [line for line in ran.out.splitlines() if len(line) > 80]
    assert [line for line in wide if " " in line.strip()] == []  # a long folder may stand out


def test_a_narrow_screen(faultnet, folders, monkeypatch):
    monkeypatch.setenv("COLUMNS", "40")
    replace(folders[1], "how-common: rare", "how-common: 0.03")
    lines = faultnet("compare", *folders, "--calls", 2).out.splitlines()
    assert all(len(line) <= 40 or " " not in line.strip() for line in lines)


def test_a_case_that_now_fails_is_a_problem(faultnet, folders):
    replace(folders[1], "how-common: common", "how-common: 0.000001")
    replace(folders[1], "note: Seen after frost.", "note: Seen in frost.")
    ran = faultnet("compare", *folders, "--calls", 0, "--json")
    assert ran.code == 1
    assert ran.json["now_fail"] == ["leaking-valve"]
    assert ran.json["calls"]["asked"] == 0
    assert ran.json["schema_version"] == 1
    changed = {(c["kind"], c["id"], c["what"]) for c in ran.json["changes"]}
    assert changed == {
        ("cause", "foot-valve-leaks", "changed"),
        ("cause", "pipe-cracked", "changed"),
    }
    shown = faultnet("compare", *folders, "--calls", 0).out
    told = "1 case passed before and fails now: leaking-valve."
    assert " ".join(shown.split()).count(told) == 1


def test_markdown_for_a_review(faultnet, folders):
    replace(folders[1], "how-common: rare", "how-common: 0.03")
    replace(folders[1], "title: Pipe cracked", "title: Pipe *cracked* <b>")
    ran = faultnet("compare", *folders, "--calls", 2, "--markdown")
    lines = ran.out.splitlines()
    assert lines[0].startswith("## From ")
    assert "### What changed in the files" in lines
    assert "- cause pipe-cracked: changed" in lines
    assert "  - `knowledge/parts/suction.yaml:28:3`" in lines
    assert "  - title: Pipe cracked \u2192 Pipe \\*cracked\\* \\<b\\>" in lines


def test_what_is_no_version_is_told(faultnet, folders, tmp_path):
    ran = faultnet("compare", "HEAD~3", tmp_path / "nowhere")
    assert (ran.code, ran.out) == (2, "")
    assert "There is no folder" in ran.err
    ran = faultnet("compare", "no-such-revision", folders[1], "--json")
    assert ran.code == 2
    assert ran.json["error"]["kind"] == "no-version"


def test_broken_knowledge_says_which(faultnet, folders):
    replace(folders[0], "how-common: rare", "how-comon: rare")
    ran = faultnet("compare", *folders)
    assert ran.code == 1
    assert f"{folders[0]} cannot be compared:" in ran.err
    assert "[unknown-key]" in ran.err


def test_cases_that_cannot_be_read_are_left_out_and_told(faultnet, folders):
    replace(
        folders[1], "given: {prime-falls: yes}", "given: {prime: yes}", "parts/suction.cases.yaml"
    )
    ran = faultnet("compare", *folders)
    assert f"Left out of {folders[1]}" in ran.err
    assert "[unknown-id]" in ran.err


def test_prove_chooses_cases(faultnet, folders):
    folder = folders[0]
    assert faultnet("prove", folder, "--case", "still").out == "1 case, 0 fail.\n"
    assert faultnet("prove", folder, "--system", "jet-pump").out == "2 cases, 0 fail.\n"
    ran = faultnet("prove", folder, "--case", "stil-leaking")
    assert (ran.code, ran.out) == (2, "")
    assert "Did you mean `still-leaking`?" in ran.err
    assert faultnet("prove", folder, "--system", "pump").code == 2


def test_prove_again_what_failed(faultnet, folders):
    folder = folders[0]
    ran = faultnet("prove", folder, "--failed")
    assert "No earlier run is known" in ran.err
    assert ran.out == "2 cases, 0 fail.\n"
    assert faultnet("prove", folder, "--failed").out == "No case failed the last time.\n"
    replace(folder, "first: foot-valve-leaks", "first: prime-lost", "parts/suction.cases.yaml")
    assert faultnet("prove", folder).code == 1
    assert faultnet("prove", folder, "--failed").out.endswith("1 case, 1 fail.\n")


def test_a_failure_tells_the_lines_that_spoke(faultnet, folders):
    replace(
        folders[0], "first: [foot-valve-leaks]", "first: [prime-lost]", "parts/suction.cases.yaml"
    )
    ran = faultnet("prove", folders[0], "--json")
    (wrong,) = (result for result in ran.json["results"] if not result["passed"])
    against = wrong["against"]
    assert (against["came"], against["expected"]) == ("foot-valve-leaks", "prime-lost")
    lines = [line for push in against["pushes"] for line in push["lines"]]
    assert any("foot-valve-leaks shows prime-falls" in line["text"] for line in lines)
    assert all(line["place"].startswith("knowledge/") for line in lines)
    shown = faultnet("prove", folders[0]).out
    assert "For foot-valve-leaks, against prime-lost:" in shown


def test_coverage_in_text_and_json(faultnet, folders):
    ran = faultnet("prove", folders[0], "--coverage")
    assert ran.code == 0
    assert "Causes that a case expects: 2 of 3. Not these:\n  - prime-lost\n" in ran.out
    assert "    knowledge/parts/suction.yaml:" in ran.out
    found = faultnet("prove", folders[0], "--coverage", "--json").json
    counts = {each["kind"]: (each["exercised"], each["of"]) for each in found["counts"]}
    assert counts["cause"] == (2, 3)
    lost = [e["id"] for e in found["entries"] if e["kind"] == "danger" and not e["cases"]]
    assert lost == ["tingle=yes"]
