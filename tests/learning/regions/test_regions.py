"""Regions learnt from imagined cases whose rates are known."""

import shutil
from pathlib import Path

import msgspec
import numpy as np
import pytest

from faultnet.authoring.region import in_region
from faultnet.authoring.store import load
from faultnet.learning.closed import StepTaken
from faultnet.learning.regions.draft import region_files
from faultnet.learning.regions.regions import learn_regions
from faultnet.learning.source import CasesAtHand
from faultnet.sharing.sharing import Here
from tests.learning.drift.made import case

GOOD = Path(__file__).parents[2] / "authoring/knowledge"
LANDS = ("dunes", "hills", "marsh", "plain")


def cases(seed, often, frost=0.1, minutes=20.0, lands=LANDS, number=120):
    """Cases of some regions; the second region has numbers of its own."""
    rng = np.random.default_rng(seed)
    found = []
    for land in lands:
        own = land == lands[min(1, len(lands) - 1)]
        for _ in range(number):
            cracked = rng.random() < (often if own else 0.05)
            held = bool(rng.random() < (frost if own else 0.1))
            cause = "pipe-cracked" if cracked else "foot-valve-leaks"
            made = case(len(found), 2024, 5, cause, after_freeze=held)
            took = float(rng.lognormal(np.log(minutes if own else 20.0) - 0.08, 0.4))
            steps = (StepTaken("look-at-prime", "check", 0, took),)
            found.append(msgspec.structs.replace(made, region=land, steps=steps))
    return tuple(found)


def learnt(knowledge, found):
    return learn_regions(knowledge, CasesAtHand(tuple(found)), Here())


def numbers(found, region):
    return {each.proposed.of: each for each in found.of(region)}


def test_a_region_where_a_cause_is_commoner_is_told(knowledge):
    found = learnt(knowledge, cases(1, often=0.4))
    cracked = numbers(found, "hills")["pipe-cracked"]
    assert cracked.proposed.kind == "how-common"
    assert cracked.shared < cracked.proposed.value < cracked.proposed.alone
    assert cracked.proposed.interval.low > cracked.shared
    assert cracked.proposed.number == knowledge.causes["pipe-cracked"].how_common
    assert len(cracked.proposed.cases) == 8


def test_frost_and_minutes_of_a_region(knowledge):
    found = learnt(knowledge, cases(2, often=0.05, frost=0.5, minutes=60.0, number=300))
    hills = numbers(found, "hills")
    frost = hills["after-freeze"]
    assert frost.proposed.alone == pytest.approx(0.5, abs=0.1)
    assert frost.shared + 0.1 < frost.proposed.value < frost.proposed.alone
    assert hills["look-at-prime"].proposed.value == pytest.approx(60.0, rel=0.2)


def test_regions_that_are_alike_have_no_numbers_of_their_own(knowledge):
    alike = [cases(seed, often=0.05, number=60) for seed in range(10, 18)]
    told = [len(learnt(knowledge, each).numbers) for each in alike]
    looked = learnt(knowledge, alike[0]).looked_at
    # An interval of 90 per cent misses one in ten at most; those drawn together far fewer.
    assert sum(told) <= 0.1 * looked * len(told)


def test_one_region_alone_is_held_against_the_files(knowledge):
    found = learnt(knowledge, cases(3, often=0.6, lands=("hills",), number=300))
    cracked = numbers(found, "hills")["pipe-cracked"]
    authored = knowledge.causes["pipe-cracked"].how_common.value
    assert cracked.shared == pytest.approx(authored)
    assert authored < cracked.proposed.value < cracked.proposed.alone


def test_cases_without_a_region_are_counted(knowledge):
    nowhere = case(999, 2024, 5, "prime-lost")
    found = learnt(knowledge, [*cases(4, often=0.05, number=5), nowhere])
    assert (found.cases, found.left_out) == (20, {"no region": 1})


def test_no_cases_have_no_regions(knowledge):
    assert learnt(knowledge, ()).numbers == ()


def test_the_drafted_file_is_read_and_changes_the_numbers(knowledge, tmp_path):
    found = learnt(knowledge, cases(5, often=0.4, minutes=60.0))
    folder = tmp_path / "knowledge"
    shutil.copytree(GOOD, folder)
    (folder / "regions").mkdir()
    text = region_files(found)["hills"]
    (folder / "regions/hills.yaml").write_text(text, "utf-8")
    hills = in_region(load(folder), "hills")
    wanted = numbers(found, "hills")
    assert hills.causes["pipe-cracked"].how_common.value == pytest.approx(
        wanted["pipe-cracked"].proposed.value, rel=0.01
    )
    assert hills.checks["look-at-prime"].work.minutes.value == pytest.approx(
        wanted["look-at-prime"].proposed.value, rel=0.01
    )
    with pytest.raises(ValueError, match="that of hills"):
        learnt(hills, ())


def test_a_number_that_the_region_has_is_the_one_to_change(knowledge, tmp_path):
    folder = tmp_path / "knowledge"
    shutil.copytree(GOOD, folder)
    (folder / "regions").mkdir()
    text = "region: hills\ntitle: Hills\nfrom: judgement\nhow-common: {pipe-cracked: 0.1}\n"
    (folder / "regions/hills.yaml").write_text(text, "utf-8")
    found = learnt(load(folder), cases(6, often=0.4))
    assert numbers(found, "hills")["pipe-cracked"].proposed.number.value == 0.1
