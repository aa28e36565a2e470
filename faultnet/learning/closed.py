"""A closed case as it is learnt from and measured on: what was known, what it was, what it cost."""

from typing import Literal

import msgspec

from faultnet.model.evidence import Evidence

StepKind = Literal["check", "repair", "specialist"]


class Confirmation(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What had been wrong, as it was seen while it was mended at the end of a round (from 0).

    ``cause`` is ``network.build.UNLISTED`` where it was seen and the files do not hold it;
    ``text`` then says what it was, in the words of whoever saw it.
    """

    cause: str
    round: int = 0
    text: str = ""


class StepTaken(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A step that was done in a round (from 0), with the minutes that went by, where noted.

    A step that was ``broken_off`` took so many minutes until then, and would have taken more.
    """

    step: str
    kind: StepKind
    round: int = 0
    minutes: float | None = None
    broken_off: bool = False


class ClosedCase(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One closed case.

    ``opened`` and ``closed`` are times as ISO 8601 in UTC. ``knowledge`` is the version of the
    files that were in use, ``region`` the part of the country or the firm, perhaps empty,
    ``ending`` one of ``cases.events.ENDS``. ``evidence`` holds what was said, seen and
    mended, round by round; a finding that is not in it was not asked, or was not known where
    it stands in ``unknown``. Nothing ``confirmed`` means that nobody saw what it was. ``trips``
    counts the journeys to the site: none where the case was closed on the phone. ``parts`` are
    the ids of the stock that was fitted. ``followed_by`` is the case that came of the same
    trouble afterwards, where one is known.
    """

    id: str
    system: str
    opened: str
    closed: str
    ending: str
    evidence: Evidence
    confirmed: tuple[Confirmation, ...] = ()
    steps: tuple[StepTaken, ...] = ()
    trips: int = 1
    parts: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    knowledge: str = ""
    region: str = ""
    followed_by: str = ""

    @property
    def by_phone(self) -> bool:
        """Whether nobody had to drive there."""
        return self.trips == 0
