"""Questions shared among processes of this machine: in order, bounded, whoever dies."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from faultnet.advice.subject import UnknownNameError
from faultnet.sharing.flow import MOST
from faultnet.sharing.trouble import WorkerDiedError
from faultnet.sharing.workers import answered
from tests.sharing.work import DiesOnce, dies, whose, whose_slowly


def test_answers_come_in_the_order_asked_by_several():
    found = list(answered(whose, range(5000), 2))
    assert [number for number, _ in found] == list(range(5000))
    assert len({by for _, by in found}) == 2
    assert os.getpid() not in {by for _, by in found}


@pytest.mark.parametrize(("asked", "workers"), [([], 2), ([1], 2), ([1, 2, 3], 1)])
def test_one_question_or_one_worker_is_answered_here(asked, workers):
    assert list(answered(whose, asked, workers)) == [(number, os.getpid()) for number in asked]


def test_few_long_questions_are_shared_too():
    assert len({by for _, by in answered(whose_slowly, [1, 2], 2)}) == 2


def test_a_million_questions_are_taken_as_there_is_room():
    taken = []
    found = answered(abs, (taken.append(number) or number for number in range(10**6)), 2)
    assert [next(found) for _ in range(10)] == list(range(10))
    assert len(taken) < 9 * MOST
    found.close()


def fails(number):
    if number == 13:
        raise UnknownNameError("cause", "thirteen", [])
    return number


def test_what_a_process_raises_is_raised_here_after_the_answers_before_it():
    found = answered(fails, range(40), 2)
    assert [next(found) for _ in range(13)] == list(range(13))
    with pytest.raises(UnknownNameError, match="thirteen") as raised:
        next(found)
    assert "Part 14 of the work: 13" in raised.value.__notes__[0]
    assert "in fails" in raised.value.__notes__[0]


@pytest.mark.parametrize("at", [0, 77, 299])
def test_a_process_killed_in_the_middle_costs_nothing_but_time(tmp_path, at):
    assert list(answered(DiesOnce(at, tmp_path / "died"), range(300), 2)) == list(range(300))
    assert (tmp_path / "died").exists()


def test_a_part_that_always_kills_its_process_is_named():
    found = answered(dies, range(40), 2)
    assert [next(found) for _ in range(5)] == list(range(5))
    with pytest.raises(WorkerDiedError, match=r"Part 6 of the work \(5\).*fewer --workers"):
        next(found)


ASKING = r"""
import os, time
from faultnet.sharing.workers import answered
def slow(number):
    os.write(1, b"%d\n" % os.getpid())
    time.sleep(60)
list(answered(slow, range(40), 2))
"""


@pytest.fixture
def asking():
    process = subprocess.Popen(
        [sys.executable, "-c", ASKING],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[2],
    )
    process.workers = {int(process.stdout.readline()) for _ in range(2)}
    assert len(process.workers) == 2
    yield process
    process.kill()
    process.communicate()


def all_gone(processes):
    late = time.monotonic() + 30
    while time.monotonic() < late and any(map(is_running, processes)):
        time.sleep(0.05)
    return not any(map(is_running, processes))


def is_running(process):
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


def test_processes_end_with_the_one_that_asked(asking):
    asking.kill()
    assert all_gone(asking.workers)


def test_an_interruption_ends_long_questions_at_once(asking):
    asking.send_signal(signal.SIGINT)
    assert "KeyboardInterrupt" in asking.communicate(timeout=20)[1]
    assert all_gone(asking.workers)
