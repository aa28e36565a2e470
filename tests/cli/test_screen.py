"""Text on wide and narrow terminals, in colour and without."""

import os
import pty
import subprocess
import sys

import pytest

from faultnet.cli.screen import Screen, minutes, percent
from tests.cli.conftest import CISTERN, ROOT, start

SEEN = ["-f", "never-shuts-off=yes", "-f", "gauge-falls-isolated=yes"]
SAFE = ["--made-safe", "never-shuts-off"]
SCREENS = {
    "rank": ["rank", CISTERN, *SEEN],
    "next": ["next", CISTERN, *SEEN, *SAFE],
    "danger": ["next", CISTERN, *SEEN],
    "why": ["why", CISTERN, *SEEN, *SAFE],
    "conflict": ["rank", CISTERN, "-f", "no-pressure-build=yes", "-f", "gauge-falls-isolated=yes"],
    "systems": ["systems"],
    "system": ["systems", CISTERN],
}


@pytest.mark.parametrize("columns", [40, 80])
@pytest.mark.parametrize("name", SCREENS)
def test_nothing_is_wider_than_the_terminal(name, columns):
    told = start(*SCREENS[name], COLUMNS=str(columns)).out
    assert told
    wide = [line for line in told.splitlines() if len(line) > columns]
    assert [line for line in wide if " " in line.strip()] == []  # one long id may stand out


def on_terminal(*arguments, **environment):
    """Run arguments on a terminal of its own and return what it shows."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "faultnet", *arguments],
        stdout=theirs,
        stderr=theirs,
        env={**os.environ, "TERM": "xterm", **environment},
        cwd=ROOT,
    )
    os.close(theirs)
    shown = b""
    try:
        while piece := os.read(ours, 4096):
            shown += piece
    except OSError:  # the terminal is gone with its process
        pass
    os.close(ours)
    assert process.wait() == 0
    return shown.decode().replace("\r\n", "\n")


def test_colour_on_a_terminal_and_nowhere_else():
    coloured = on_terminal(*SCREENS["rank"])
    assert "\x1b[" in coloured
    assert "\x1b[" not in on_terminal(*SCREENS["rank"], NO_COLOR="1")
    assert "\x1b[" not in on_terminal(*SCREENS["rank"], TERM="dumb")
    assert "\x1b[" not in start(*SCREENS["rank"]).out
    assert "\x1b[" in on_terminal(*SCREENS["rank"], NO_COLOR="")  # set to nothing is not set


def test_every_screen_says_the_same_with_and_without_colour():
    import re

    for arguments in SCREENS.values():
        if arguments == SCREENS["conflict"]:
            continue  # ends with another code
        bare = re.sub("\x1b\\[[0-9;]*m", "", on_terminal(*arguments))
        assert bare == on_terminal(*arguments, NO_COLOR="1")


def test_percent():
    assert [percent(p) for p in (0.0, 0.004, 0.01, 0.155, 0.995, 1.0)] == [
        *("  0 %", " <1 %", "  1 %", " 16 %", ">99 %", "100 %")
    ]


def test_minutes():
    assert [minutes(m) for m in (0.0, 0.5, 1.0, 89.6)] == ["0 min", "<1 min", "1 min", "90 min"]


def test_bar_shows_anything_at_all():
    screen = Screen()
    assert screen.bar(0.0, 20) == ""
    assert screen.bar(1e-6, 20) == "\u2578"
    assert screen.bar(0.5, 20) == "\u2501" * 10
    assert len(screen.bar(1.0, 20)) == 20
    assert Screen(drawing=False).bar(0.5, 4) == "=="


def test_cut():
    assert Screen().cut("A short title", 20) == "A short title"
    assert Screen().cut("A title that is too long", 12) == "A title t..."
