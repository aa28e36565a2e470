"""What each code means, out of the page."""

from pathlib import Path

import pytest

from faultnet.authoring import shipped
from faultnet.authoring.code import CODES
from faultnet.authoring.explained import explained
from faultnet.authoring.shipped import problems_page


def test_every_code_is_explained() -> None:
    meanings = explained()
    assert tuple(meanings) == CODES
    for meaning in meanings.values():
        assert meaning.first.endswith((".", ":"))
        assert "```" not in meaning.text
        assert bool(meaning.fault) == bool(meaning.mend)
    assert meanings["syntax"].fault.startswith("# parts/trial.yaml\n")


def test_page_in_an_installed_package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "site-packages/faultnet"
    package.mkdir(parents=True)
    monkeypatch.setattr(shipped, "_PACKAGE", package)
    assert explained() == {}
    (package / "problems.md").write_text("### `syntax`\n\nIt is not YAML. Look.\n")
    assert problems_page() == package / "problems.md"
    assert explained()["syntax"].first == "It is not YAML."
