"""Two versions of the small knowledge: one as it is, one to change."""

import shutil
from pathlib import Path

import pytest

from faultnet.review.compare.comparison import Comparing, side
from faultnet.review.compare.version import Version

SMALL = Path(__file__).parents[2] / "authoring" / "knowledge"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory, monkeypatch):
    monkeypatch.setenv("FAULTNET_CACHE", str(tmp_path_factory.getbasetemp() / "compare-cache"))


class Changing:
    """A folder of knowledge whose files are changed text by text."""

    def __init__(self, folder):
        self.folder = folder
        shutil.copytree(SMALL, folder)
        self.replace("next: [look-at-prime]", "", "parts/suction.cases.yaml")

    def replace(self, old, new, file="parts/suction.yaml"):
        path = self.folder / file
        text = path.read_text()
        assert old in text
        path.write_text(text.replace(old, new))
        return self


@pytest.fixture
def old(tmp_path):
    return Changing(tmp_path / "old" / "knowledge")


@pytest.fixture
def new(tmp_path):
    return Changing(tmp_path / "new" / "knowledge")


@pytest.fixture
def compared(old, new):
    """Compare as the folders are then."""

    def compare(calls=0, seed=1, workers=1):
        sides = [side(Version(name, each.folder)) for name, each in (("old", old), ("new", new))]
        assert not any(each.problems for each in sides)
        comparing = Comparing(*sides, calls, seed)
        return comparing.comparison(list(comparing.differences(workers)))

    return compare
