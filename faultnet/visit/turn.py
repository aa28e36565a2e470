"""One turn of the conversation: what is put to the person, and what can be replied."""

import msgspec

from faultnet.cases.events import AnyEvent

ENTER = ""
"""The key of a reply by Enter alone.

It never says that something was done, but for the steps of a procedure that is walked.
"""

DONE = "d"
"""The key that says so."""

KEYS = "123456789abfgijorvxz"
"""Keys of numbered replies; the letters that mean something else are left out."""


class Line(msgspec.Struct, frozen=True):
    """One paragraph; ``kind`` is say, note, do, item, caution or danger.

    ``mark`` stands before an item instead of a dash.
    """

    kind: str
    text: str
    mark: str = ""


class Reply(msgspec.Struct, frozen=True):
    """A key with what it says: an event, or the name of a view to look at."""

    key: str
    label: str
    event: AnyEvent | None = None
    view: str = ""


BACK = Reply(ENTER, "back", view="back")
"""How one goes back from something that was only looked at."""


class Typed(msgspec.Struct, frozen=True):
    """Text is wanted; ``what`` goes back with it."""

    what: str
    prompt: str


class Turn(msgspec.Struct, frozen=True):
    """What is shown and what can be replied; ``bar`` holds what can be done at any time.

    ``until`` is when a timer runs out, in seconds since 1970; 0 is no timer.
    """

    kind: str
    heading: str
    title: str
    lines: tuple[Line, ...] = ()
    replies: tuple[Reply, ...] = ()
    bar: tuple[Reply, ...] = ()
    typed: Typed | None = None
    until: float = 0.0

    def reply(self, key: str) -> Reply | None:
        """Return the reply of a key."""
        for each in (*self.replies, *self.bar):
            if each.key == key:
                return each
        return None


def numbered(labels: dict[str, AnyEvent]) -> tuple[Reply, ...]:
    """Return replies by number, in order; beyond nine come letters."""
    return tuple(
        Reply(key, label, event) for key, (label, event) in zip(KEYS, labels.items(), strict=False)
    )


def lines(kind: str, texts: tuple[str, ...]) -> tuple[Line, ...]:
    """Return texts as lines of one kind."""
    return tuple(Line(kind, text) for text in texts)
