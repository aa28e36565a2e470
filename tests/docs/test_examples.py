"""What pages show at a prompt runs, exits with 0 unless they say so, and shows what they show."""

import re

import pytest

from tests.docs.pages import PAGES, boxes, commands
from tests.docs.shell import shell_in

EXITS = re.compile(r"\s+# exits (\d+)$")
SHOWING = [page for page in PAGES if boxes(page, "console")]


@pytest.fixture
def shell(tmp_path):
    """Run a line in a shell that knows ``faultnet``, in a folder that holds the knowledge."""
    return shell_in(tmp_path, knowledge=True)[0]


def test_there_are_examples():
    assert {"README", "for-the-dispatcher"} <= {page.stem for page in SHOWING}


@pytest.mark.parametrize("page", SHOWING, ids=lambda page: page.stem)
def test_page_does_as_it_says(page, shell):
    for typed, shown in (pair for box in boxes(page, "console") for pair in commands(box)):
        exits = EXITS.search(typed)
        line = EXITS.sub("", typed)
        done = shell(line)
        assert done.returncode == int(exits[1] if exits else 0), f"{line}\n{done.stderr}"
        for told in shown:
            assert told in done.stdout + done.stderr, f"{line}\n{done.stdout}{done.stderr}"
