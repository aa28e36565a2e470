"""A step that is put off, with the reason why."""

from faultnet.cases.events import StepSkipped
from faultnet.visit.talk import Talk
from faultnet.visit.told import WHY_NOT, title_of
from faultnet.visit.turn import BACK, Reply, Turn, Typed, numbered

SKIP = "s"
"""The key that puts a step off."""


def skip(step: str, label: str = "not now: show the next best") -> Reply:
    """Return how a step is put off; the reason is asked next."""
    return Reply(SKIP, label, view=f"not-now:{step}")


def reasons(talk: Talk, step: str) -> Turn:
    """Return the turn that asks why a step is put off."""
    replies = (
        *numbered({label: StepSkipped(step, reason) for reason, label in WHY_NOT.items()}),
        Reply("t", "in your own words", view=f"why-not:{step}"),
        Reply(SKIP, "no reason, just not now", StepSkipped(step)),
        BACK,
    )
    return Turn("not-now", title_of(talk.subject, step), "Why not now?", (), replies)


def own_words(talk: Talk, step: str) -> Turn:
    """Return the turn that takes the reason in words."""
    typed = Typed(f"why-not:{step}", "Why not? A few words:")
    return Turn("not-now", title_of(talk.subject, step), "Why not now?", typed=typed)


def put_off(step: str, text: str) -> StepSkipped:
    """Return that a step is put off for a reason that was typed."""
    return StepSkipped(step, "later", text.strip())
