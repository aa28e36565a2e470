"""Good knowledge to change, and a cache that belongs to the test alone."""

import shutil
from pathlib import Path

import pytest

GOOD = Path(__file__).parent / "knowledge"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FAULTNET_CACHE", str(tmp_path / "cache"))
    monkeypatch.delenv("FAULTNET_KNOWLEDGE", raising=False)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a copy of the good knowledge."""
    copy = tmp_path / "knowledge"
    shutil.copytree(GOOD, copy)
    return copy
