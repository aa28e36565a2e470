"""A region replaces numbers and nothing else; without it all stands as it is."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from faultnet.authoring.region import (
    VARIABLE,
    UnknownRegionError,
    in_region,
    setting,
)
from faultnet.authoring.store import load
from faultnet.cli.call import command as call
from faultnet.cli.next import command as next_command
from faultnet.cli.rank import command as rank
from faultnet.cli.visit import command as visit

GOOD = Path(__file__).parent / "knowledge"
OWN = "circumstances: {after-freeze: 0.1}\n"
HILLS = """\
region: hill-country
title: Hill country (invented)
from: judgement
how-common: {pipe-cracked: 0.4}
minutes:
  hold-test: {is: 6, from: practice}
  renew-foot-valve: 95
circumstances: {after-freeze: 0.5}
"""


@pytest.fixture
def folder(tmp_path):
    kept = tmp_path / "knowledge"
    shutil.copytree(GOOD, kept)
    (kept / "regions").mkdir()
    system = kept / "systems/jet-pump.yaml"
    system.write_text(system.read_text("utf-8").replace(OWN, ""), "utf-8")
    (kept / "regions/hill-country.yaml").write_text(HILLS, "utf-8")
    return kept


def test_a_region_replaces_what_it_names(folder):
    shared = load(folder)
    with setting("hill-country"):
        hills = load(folder)
    assert hills.causes["pipe-cracked"].how_common.value == 0.4
    assert str(hills.causes["pipe-cracked"].how_common.origin).endswith("hill-country.yaml:4:28")
    assert hills.checks["hold-test"].work.minutes.value == 6
    assert hills.checks["hold-test"].work.minutes.provenance == ("practice",)
    assert hills.repairs["renew-foot-valve"].work.minutes.value == 95
    assert hills.systems["jet-pump"].circumstances["after-freeze"].value == 0.5
    assert hills.causes["prime-lost"] == shared.causes["prime-lost"]
    assert hills.checks["hold-test"].work.waiting == shared.checks["hold-test"].work.waiting


def test_without_a_region_the_files_stand_as_before(folder):
    shared = load(folder)
    (folder / "regions/hill-country.yaml").unlink()
    plain = load(folder)
    assert (shared.region, list(shared.regions)) == ("", ["hill-country"])
    for field in ("causes", "checks", "repairs", "circumstances", "systems"):
        assert getattr(shared, field) == getattr(plain, field)


def test_a_system_with_a_number_of_its_own_keeps_it(folder):
    shutil.copy(GOOD / "systems/jet-pump.yaml", folder / "systems/jet-pump.yaml")
    hills = in_region(load(folder), "hill-country")
    assert hills.systems["jet-pump"].circumstances["after-freeze"].value == 0.1
    assert hills.circumstances["after-freeze"].prior.value == 0.5


def test_a_region_has_a_version_of_its_own(folder):
    shared = load(folder)
    hills = in_region(shared, "hill-country")
    assert hills.version != shared.version
    assert hills == in_region(load(folder), "hill-country")


def test_a_region_that_is_not_there_is_told(folder):
    with setting("hil-country"), pytest.raises(UnknownRegionError) as told:
        load(folder)
    assert "hill-country" in told.value.hint


def test_the_setting_ends(monkeypatch):
    monkeypatch.setenv(VARIABLE, "plain")
    with setting("hill-country"):
        pass
    import os

    assert os.environ[VARIABLE] == "plain"


def first(output):
    """Return the line of the likeliest cause."""
    return next(line for line in output.splitlines() if "%" in line)


@pytest.mark.parametrize("command", [rank, next_command], ids=["rank", "next"])
def test_which_region_is_in_use_is_told(folder, command):
    faultnet = CliRunner()
    asked = ["jet-pump", "--knowledge", str(folder), "-f", "no-pressure=yes"]
    for name in ("", "hill-country"):
        region = ["--region", name] if name else []
        shown = faultnet.invoke(command, [*asked, *region], standalone_mode=False)
        assert ("With the numbers of a region: Hill country" in shown.output) == bool(name)
        assert ("a region" in shown.output) == bool(name)
        shape = faultnet.invoke(command, [*asked, *region, "--json"], standalone_mode=False)
        assert json.loads(shape.output)["region"] == name


@pytest.mark.parametrize("command", [visit, call], ids=["visit", "call"])
def test_a_visit_and_a_call_tell_it_as_they_begin(folder, command, monkeypatch, tmp_path):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path / "data"))
    faultnet = CliRunner()
    asked = ["--knowledge", str(folder), "--region", "hill-country"]
    begun = faultnet.invoke(command, ["jet-pump", *asked], input="", standalone_mode=False)
    assert "With the numbers of a region: Hill country (invented)" in begun.output
    shape = faultnet.invoke(command, ["--resume", "--json", *asked], standalone_mode=False)
    assert json.loads(shape.output)["region"] == "hill-country"


def test_rank_in_a_region(folder):
    faultnet = CliRunner()
    asked = ["jet-pump", "--knowledge", str(folder), "-f", "no-pressure=yes"]
    shared = faultnet.invoke(rank, asked, standalone_mode=False)
    hills = faultnet.invoke(rank, [*asked, "--region", "hill-country"], standalone_mode=False)
    assert (shared.exception, hills.exception) == (None, None)
    assert "Pipe cracked" in first(hills.output)
    assert shared.output != hills.output
    again = faultnet.invoke(rank, asked, standalone_mode=False)
    assert again.output == shared.output
