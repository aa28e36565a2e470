"""Where the knowledge lies in a checkout, in an installed package, and by wish."""

from pathlib import Path

import pytest

from faultnet.authoring import shipped
from faultnet.authoring.shipped import shipped_folder


def test_beside_the_package_in_a_checkout() -> None:
    found = shipped_folder()
    assert found == Path(shipped.__file__).parents[2] / "knowledge"
    assert (found / "words.yaml").is_file()


def test_inside_an_installed_package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "site-packages/faultnet"
    (package / "knowledge").mkdir(parents=True)
    monkeypatch.setattr(shipped, "_PACKAGE", package)
    assert shipped_folder() == package / "knowledge"


def test_foreign_folder_beside_an_installed_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site-packages/faultnet"
    (package / "knowledge").mkdir(parents=True)
    (tmp_path / "site-packages/knowledge").mkdir()
    (tmp_path / "site-packages/knowledge/words.yaml").write_text("a: 1", encoding="utf-8")
    monkeypatch.setattr(shipped, "_PACKAGE", package)
    assert shipped_folder() == package / "knowledge"


def test_by_wish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FAULTNET_KNOWLEDGE", str(tmp_path))
    assert shipped_folder() == tmp_path
