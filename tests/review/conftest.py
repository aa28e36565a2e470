"""Small knowledge of which nothing need be told, and what is told of it with a fault in it."""

import re
import shutil
from pathlib import Path

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.review.facts import facts

GOOD = Path(__file__).parent / "knowledge"
BAD = sorted((Path(__file__).parent / "bad_facts").glob("*.yaml"))
HEAD = re.compile(r"^# (stands as|problem): (.*)$", re.MULTILINE)


def read(folder):
    """Return the knowledge of a folder and its cases; none of it has an error."""
    knowledge, problems = read_knowledge(folder)
    assert problems == ()
    examples, problems = read_examples(folder, knowledge)
    assert problems == ()
    return knowledge, examples


def facts_of(folder):
    return facts(*read(folder))


@pytest.fixture(autouse=True)
def _own_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_CACHE", str(tmp_path / "cache"))


@pytest.fixture
def folder(tmp_path):
    """Return a copy of the small knowledge."""
    copy = tmp_path / "knowledge"
    shutil.copytree(GOOD, copy)
    return copy


@pytest.fixture
def trial(folder):
    """Return what makes a subject of the small knowledge with entries of a trial part."""

    def make(text=""):
        head = "part: trial\ntitle: Trial\nfrom: judgement\n"
        (folder / "parts/trial.yaml").write_text(head + text, encoding="utf-8")
        return make_subject(read(folder)[0], "pump")

    return make
