"""What has been said, seen and measured, by whom, and in which round."""

import msgspec


class Answer(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One answer to one finding, by a speaker (``caller`` or ``technician``).

    ``answer`` may be ``yes`` (any abnormal answer) or ``no`` (the normal one).
    """

    finding: str
    answer: str
    speaker: str = "technician"


class Taken(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A reading as taken: part name to a number in the reading's own unit."""

    reading: str
    parts: dict[str, float]


class Round(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Between two repairs: the answers taken, then the repairs that ended the round.

    ``redraws`` names findings whose links a step that changes the system draws anew;
    ``spoiled`` names findings that a step has made it too late to take.
    """

    answers: tuple[Answer, ...] = ()
    taken: tuple[Taken, ...] = ()
    repairs: tuple[str, ...] = ()
    redraws: tuple[str, ...] = ()
    spoiled: tuple[str, ...] = ()


class Evidence(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All that is known about one trouble; rounds in their order, the last one open.

    ``layout`` and ``circumstances`` hold what is known; unmentioned is unknown.
    ``set_ups`` are the states of the site that are made at present; ``made_safe``
    names findings whose danger has been dealt with.
    """

    rounds: tuple[Round, ...] = (Round(),)
    layout: dict[str, str] = {}
    circumstances: dict[str, bool] = {}
    set_ups: tuple[str, ...] = ()
    made_safe: tuple[str, ...] = ()

    @property
    def now(self) -> Round:
        """The open round."""
        return self.rounds[-1]
