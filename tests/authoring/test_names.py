"""Which ids the files declare, and what happens when two want the same."""

from pathlib import Path

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.names import is_kebab, kebab
from faultnet.authoring.nearest import did_you_mean


@pytest.mark.parametrize("name", ["a", "foot-valve", "115", "a1-b2"])
def test_kebab(name: str) -> None:
    assert is_kebab(name)


@pytest.mark.parametrize(
    ("name", "better"),
    [
        ("Foot_Valve", "foot-valve"), ("footValve", "foot-valve"), ("-a", "a"), ("a--b", "a-b"),
        ("a b", "a-b"), ("é", "name"), ("", "name"), ("a\n", "a"),
    ],
)  # fmt: skip
def test_not_kebab(name: str, better: str) -> None:
    assert not is_kebab(name)
    assert kebab(name) == better


def test_the_only_entry_of_its_kind_may_have_a_taken_id(folder: Path) -> None:
    path = folder / "parts/suction.yaml"
    path.write_text(path.read_text().replace("  hold:\n", "  hold-test:\n"))
    knowledge, problems = read_knowledge(folder)
    assert knowledge is None
    assert [each.code for each in problems] == ["duplicate-id"]


def test_parts_layouts_and_sources_may_be_called_the_same(folder: Path) -> None:
    path = folder / "parts/supply.yaml"
    path.write_text("part: supply\ntitle: Supply\n", encoding="utf-8")
    assert read_knowledge(folder)[1] == ()


def test_did_you_mean() -> None:
    many = [f"name-{letter}" for letter in "abcdefghijklmnop"]
    assert did_you_mean("foot-vlave", ["foot-valve", *many]) == "Did you mean `foot-valve`?"
    assert did_you_mean("quite-other", many) == ""
    assert did_you_mean("quite-other", ["b", "a"]) == "Known here: a, b."
