"""The time that is left, and one bell."""

import pytest

from faultnet.cli.countdown import Countdown


@pytest.mark.parametrize(
    ("now", "left"),
    [(0.0, "15:00 left"), (0.5, "15:00 left"), (840.5, " 1:00 left"), (899.9, " 0:01 left")],
)
def test_what_is_left(now, left):
    assert Countdown(lambda: now).prompt(900.0) == f"{left} > "


def test_no_timer_is_a_bare_prompt():
    assert Countdown(lambda: 0.0).prompt(0.0) == "> "


def test_it_rings_once(capsys):
    now = [899.0]
    countdown = Countdown(lambda: now[0])
    for each in (899.0, 900.0, 901.0, 5000.0):
        now[0] = each
        countdown.tick(900.0)
    told = capsys.readouterr().out
    assert told.count("\a") == 1
    assert told == "\r 0:01 left > \rTime is up > \a\rTime is up > \rTime is up > "
