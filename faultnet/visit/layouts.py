"""The few facts of the installation that most of the knowledge hangs on."""

from msgspec.structs import replace

from faultnet.cases.events import Passed
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Reply, Turn

STAGE = "layout"
ASKED = 4
"""Questions about the layout at the start; steps ask for the others where they matter."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the next question about the layout."""
    if STAGE in at.passed:
        return None
    asked_about = talk.subject.weightiest[:ASKED]
    left = [layout for layout in asked_about if not at.settled(layout)]
    if not left:
        return None
    heading = f"The installation, {len(asked_about) - len(left) + 1} of {len(asked_about)}"
    turn = question(talk, at, left[0], heading)
    skip = Reply("s", "skip these questions", Passed(STAGE))
    lines = (Line("note", "It decides what a sign means. Look, touch nothing."),)
    return replace(turn, lines=lines, replies=(*turn.replies, skip))
