"""Noise has its size, levels stay chances, and whoever thinks never hears of a missing cause."""

import os
import shutil
import subprocess
import sys
from math import log, sqrt

import msgspec
import numpy as np
import pytest
from scipy import stats

from faultnet.authoring.shipped import shipped_folder
from faultnet.learning.altered.missing import without
from faultnet.learning.altered.noise import Noise
from faultnet.learning.altered.numbers import altered
from faultnet.learning.altered.truth import OtherKnowledgeError, truth_of
from faultnet.learning.imagined.cases import imagined_cases, recipe
from faultnet.network.build import UNLISTED
from faultnet.network.places import places
from faultnet.sharing.crossing import crossed, crossing
from tests.cli.conftest import ROOT

SYSTEM = "jet-pump-cistern"


def odds(value):
    return value / (1.0 - value)


def shifts(knowledge, noise, kinds):
    """How far the logarithm of the odds of each number of some kinds has moved.

    Graded findings are left out: with several levels it is each against none that moves.
    """
    other = altered(knowledge, SYSTEM, noise)
    before = dict(places(knowledge, knowledge.systems[SYSTEM]))
    after = dict(places(other, other.systems[SYSTEM]))
    graded = {(p.kind, p.of) for p in before if p.level}
    return np.array(
        [
            log(odds(after[place].value) / odds(number.value))
            for place, number in before.items()
            if place.kind in kinds and (place.kind, place.of) not in graded
            if 0.0 < number.value < 1.0
        ]
    )


@pytest.mark.parametrize("sigma", [0.5, 1.0, 2.0])
def test_odds_have_noise_of_the_size_that_was_asked(knowledge, sigma):
    """By Kolmogorov's test (SciPy)."""
    moved = shifts(knowledge, Noise(sigma, 3), {"link", "rule", "leak", "bring"})
    assert len(moved) > 1000
    assert abs(np.std(moved) / sigma - 1.0) < 4.0 / sqrt(2 * len(moved))
    assert stats.kstest(moved / sigma, "norm").pvalue > 0.001


def test_causes_stay_as_common_together(knowledge):
    for sigma in (0.5, 2.0):
        other = altered(knowledge, SYSTEM, Noise(sigma, 4))
        sums = [
            sum(
                number.value
                for place, number in places(k, k.systems[SYSTEM])
                if place.kind == "cause"
            )
            for k in (knowledge, other)
        ]
        assert sums[1] == pytest.approx(sums[0], rel=1e-9)


def test_chances_stay_chances(knowledge):
    other = altered(knowledge, SYSTEM, Noise(2.0, 5))
    for finding in other.findings.values():
        levels = [finding.shows_anyway, *(f.strength for f in finding.follows_from)]
        assert all(0.0 <= sum(n.value for n in strength) <= 1.0 for strength in levels)
    for cause in other.causes.values():
        assert 0.0 < cause.how_common.value < 1.0
        assert all(0.0 <= sum(n.value for n in s.strength) <= 1.0 for s in cause.shows)
    for priors in other.systems[SYSTEM].layout.values():
        assert sum(n.value for n in priors.values()) == pytest.approx(1.0)
    certain = [
        (number.value, after.value)
        for (_, number), (_, after) in zip(
            places(knowledge, knowledge.systems[SYSTEM]),
            places(other, other.systems[SYSTEM]),
            strict=True,
        )
        if number.value in (0.0, 1.0)
    ]
    assert all(before == after for before, after in certain)


def test_minutes_have_noise_and_the_same_mean():
    noise = Noise(1.0, 6)
    factors = np.log([noise.on_minutes(f"step-{k}") for k in range(3000)])
    assert abs(np.std(factors) - 1.0) < 0.05
    assert abs(np.mean(factors) + 0.5) < 0.07
    assert Noise(1.0, 6, minutes=0.0).on_minutes("step-1") == 1.0


def test_a_number_more_shifts_no_other(knowledge):
    """Every number is drawn by its own name, so the rest of the files is of no account."""
    gone = next(iter(knowledge.causes))
    whole = altered(knowledge, SYSTEM, Noise(1.0, 7))
    less = altered(without(knowledge, [gone]), SYSTEM, Noise(1.0, 7))
    assert all(less.causes[c].shows == whole.causes[c].shows for c in less.causes)
    assert all(less.findings[f] == whole.findings[f] for f in less.findings)
    assert all(less.repairs[r].work == whole.repairs[r].work for r in less.repairs)


def test_a_greater_sigma_is_the_same_draw_moved_further(knowledge):
    small, great = (shifts(knowledge, Noise(sigma, 8), {"link", "leak"}) for sigma in (0.5, 1.0))
    assert great == pytest.approx(2.0 * small)


@pytest.mark.parametrize(
    ("gone", "reason"),
    [(False, "holds version [0-9a-f]{12} on"), (True, "cannot be read on")],
)
def test_a_machine_with_other_files_is_told(request, tmp_path, gone, reason):
    folder = tmp_path / "knowledge"
    shutil.copytree(request.config.rootpath / "tests/review/knowledge", folder)
    truth = truth_of(str(folder), "pump")
    if gone:
        shutil.rmtree(folder)
    else:
        words = folder / "words.yaml"
        words.write_text(words.read_text() + "# Another one.\n")
    with pytest.raises(
        OtherKnowledgeError, match=f"{reason} .*version {truth.version[:12]}"
    ) as told:
        truth.so()
    assert "the same FAULTNET_REGION" in str(told.value)
    across = crossed(crossing(told.value), 1, "a part")
    assert (type(across), str(across)) == (OtherKnowledgeError, str(told.value))


def test_whoever_thinks_never_hears_of_a_missing_cause(knowledge, request):
    missing = ("bladder-ruptured", "shaft-seal-leaks")
    folder = str(request.config.rootpath / "knowledge")
    truth = truth_of(folder, SYSTEM, Noise(0.5, 1), missing)
    so, known = truth.so(), truth.known()
    assert set(missing) <= so.causes.keys()
    spoken = msgspec.json.encode(known.knowledge).decode()
    for cause in missing:
        assert cause not in known.causes
        assert f'"{cause}"' not in spoken
        assert f"found-{cause}" not in spoken
    cases = list(imagined_cases(recipe(truth, seed=2), 0, 150))
    named = {c.cause for case in cases for c in case.confirmed}
    assert not named & set(missing)
    texts = {c.text for case in cases for c in case.confirmed if c.cause == UNLISTED}
    assert any("bladder" in text.lower() for text in texts)


ALTERED = """
import msgspec
from pathlib import Path
from faultnet.authoring.store import load
from faultnet.learning.altered.noise import Noise
from faultnet.learning.altered.numbers import altered
found = altered(load(Path({folder!r})), {system!r}, Noise(0.5))
print([cause.how_common.value.hex() for cause in found.causes.values()])
"""


def test_every_process_draws_the_same_numbers_to_the_last_bit():
    """Sets come in another order in each process; sums over them must not."""
    code = ALTERED.format(folder=str(shipped_folder()), system=SYSTEM)
    told = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=ROOT,
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "2", "3", "4")
    }
    assert len(told) == 1
