"""Cases as items of pytest, in a process of its own as an author runs it."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "authoring" / "knowledge"


@pytest.fixture
def folder(tmp_path):
    copy = tmp_path / "knowledge"
    shutil.copytree(SMALL, copy)
    return copy


def ran(folder, *arguments):
    plugin = ("-p", "faultnet.review.pytest_plugin", "-p", "no:cacheprovider")
    command = [sys.executable, "-m", "pytest", *plugin, "-c", "/dev/null", "-v", folder]
    done = subprocess.run(
        [*map(str, command), *arguments],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"},
        check=False,
    )
    assert "Traceback" not in done.stdout + done.stderr
    return done.returncode, done.stdout


def test_every_case_is_an_item_by_its_id(folder):
    cases = folder / "parts" / "suction.cases.yaml"
    text = cases.read_text().replace("next: [look-at-prime]", "")
    cases.write_text(text.replace("first: foot-valve-leaks", "first: pipe-cracked"))
    code, told = ran(folder)
    assert code == 1
    assert "suction.cases.yaml::leaking-valve PASSED" in told
    assert "suction.cases.yaml::still-leaking FAILED" in told
    assert "first: expected pipe-cracked" in told
    assert "For foot-valve-leaks, against pipe-cracked:" in told
    assert re.search(r"knowledge/parts/suction\.yaml:\d+:\d+", told)


def test_problems_of_the_files_are_told(folder):
    cases = folder / "parts" / "suction.cases.yaml"
    cases.write_text(cases.read_text().replace("given: {prime-falls: yes}", "given: {prime: yes}"))
    code, told = ran(folder)
    assert code != 0
    assert "[unknown-id]" in told
