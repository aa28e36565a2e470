"""A trial that is interrupted comes out as if it had not been."""

import os
import pickle
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from msgspec.structs import replace

from faultnet.learning.trials.kept import Kept, OtherTrialError
from faultnet.learning.trials.summary import summary
from faultnet.learning.trials.trial import BLOCK, Trial
from faultnet.sharing.sharing import Here
from tests.learning.trials.conftest import FOLDER, SYSTEM

POLICIES = ("per-minute", "all-knowing")


@pytest.fixture(scope="module")
def trial(house):
    return Trial(house, house, POLICIES, 5 * BLOCK - 3, seed=4)


@pytest.fixture(scope="module")
def whole(trial):
    return list(trial.done(Here()))


def kept(path, trial):
    found = Kept(path, trial)
    return found.again, list(found.all(Here()))


@pytest.fixture
def file(tmp_path, trial, whole):
    path = tmp_path / "trial.jsonl"
    assert kept(path, trial) == ("", whole)
    return path


def test_what_is_kept_is_what_came(file, trial, whole):
    text = file.read_bytes()
    assert kept(file, trial) == ("", whole)
    assert file.read_bytes() == text


@pytest.mark.parametrize("cut", [1, 40, 5000, 12000])
def test_a_torn_line_is_told_and_done_again(file, trial, whole, cut):
    text = file.read_bytes()
    file.write_bytes(text[:-cut])
    again, blocks = kept(file, trial)
    assert "done again" in again
    assert blocks == whole
    assert file.read_bytes() == text


def test_a_changed_line_is_done_again(file, trial, whole):
    text = file.read_bytes()
    file.write_bytes(text.replace(b'"trips":1', b'"trips":7', 1))
    again, blocks = kept(file, trial)
    assert ":2:" in again or "done again" in again
    assert (blocks, file.read_bytes()) == (whole, text)


def test_more_calls_go_on_where_fewer_ended(file, trial, whole):
    longer = replace(trial, calls=6 * BLOCK)
    assert kept(file, longer)[1] == list(longer.done(Here()))


@pytest.mark.parametrize(
    "other", [{"seed": 5}, {"policies": ("per-minute",)}], ids=["seed", "policies"]
)
def test_another_trial_is_refused(file, trial, other):
    with pytest.raises(OtherTrialError, match="another trial"):
        Kept(file, replace(trial, **other))


def test_a_file_of_something_else_is_left_alone(tmp_path, trial):
    path = tmp_path / "notes.txt"
    path.write_text("what the customer said")
    with pytest.raises(OtherTrialError, match="no file of a trial"):
        Kept(path, trial)
    assert path.read_text() == "what the customer said"


def test_two_workers_find_the_same(trial, whole):
    more = replace(trial, calls=16 * BLOCK)
    assert list(more.done(Here(2))) == list(more.done(Here()))
    assert list(more.done(Here()))[:4] == whole[:4]


def test_a_trial_can_be_sent(trial, whole):
    sent = pickle.loads(pickle.dumps(trial))  # noqa: S301 what was dumped a moment before
    assert sent.digest == trial.digest
    assert list(sent.done(Here())) == whole


def test_killed_in_the_middle(tmp_path):
    arguments = ("trial", SYSTEM, "--knowledge", str(FOLDER), "--calls", "160", "--json")
    arguments += (
        "--policy",
        "per-minute",
        "--policy",
        "most-telling",
        "--workers",
        "1",
        "--resume",
    )
    places = {**os.environ, "FAULTNET_CACHE": ""}
    root = Path(__file__).parents[3]

    def run(path):
        command = [sys.executable, "-m", "faultnet", *arguments, str(path)]
        return subprocess.Popen(
            command, env=places, cwd=root, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )

    one, other = tmp_path / "one", tmp_path / "other"
    begun = run(one)
    until = time.monotonic() + 60.0
    while time.monotonic() < until and (not one.exists() or one.read_bytes().count(b"\n") < 4):
        time.sleep(0.01)
    begun.send_signal(signal.SIGKILL)
    begun.communicate()
    assert 3 <= one.read_bytes().count(b"\n") <= 20
    told = [run(path).communicate()[0] for path in (one, other)]
    assert told[0] == told[1]
    assert one.read_bytes() == other.read_bytes()


def test_differences_are_those_of_the_calls(whole):
    found = summary(whole, ["all-knowing"])
    mean = {p.policy: p.means["minutes"].mean for p in found.policies}
    (against,) = found.against
    less = against.differences["minutes"]
    assert less.mean == pytest.approx(mean["per-minute"] - mean["all-knowing"])
    assert 0.0 <= less.low <= less.mean <= less.high
    assert sum(c.calls for c in found.complaints) == found.calls == 5 * BLOCK - 3
