"""The hooks for pre-commit: in form, and they start commands that there are.

The keys are those of https://pre-commit.com/#creating-new-hooks (from memory).
"""

import tomllib
from pathlib import Path

import pytest
import yaml

from faultnet.cli.table import COMMANDS, Table

ROOT = Path(__file__).parents[1]
HOOKS = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
REQUIRED = {"id", "name", "entry", "language"}
KNOWN = REQUIRED | {"description", "types", "pass_filenames"}


def test_there_are_hooks() -> None:
    assert [hook["id"] for hook in HOOKS] == ["faultnet-lint", "faultnet-prove"]


@pytest.mark.parametrize("hook", HOOKS, ids=lambda hook: hook["id"])
def test_hook_is_in_form_and_starts_what_there_is(hook: dict[str, object]) -> None:
    assert REQUIRED <= hook.keys() <= KNOWN
    assert hook["language"] == "python"
    assert hook["pass_filenames"] is False
    program, command, *options = str(hook["entry"]).split()
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["scripts"][program] == "faultnet.cli.main:main"
    assert command in COMMANDS
    made = Table().made(command)
    known = {name for parameter in made.params for name in parameter.opts}
    assert set(options) <= known
    assert "folder" in {parameter.name for parameter in made.params}
