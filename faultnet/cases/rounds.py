"""The rounds of a case on its way through its entries."""

from collections.abc import Callable

from faultnet.cases.claims import Claim, Claims
from faultnet.cases.fits import Known, alike
from faultnet.model.evidence import Answer, Round, Taken

Saw = Callable[[int, int], bool]
"""Whether the author of the entry at one place had seen the entry at another."""


class OpenRound:
    """What is said in one round, and how it ended."""

    def __init__(self, saw: Saw) -> None:
        self.answers: Claims[str] = Claims(saw)
        self.taken: Claims[Taken] = Claims(saw)
        self.repairs: tuple[str, ...] = ()
        self.redraws: tuple[str, ...] = ()
        self.spoiled: dict[str, None] = {}

    def finished(self) -> Round:
        """Return the round as evidence."""
        answers = tuple(Answer(a, c.value, c.speaker) for a, c in self.answers.all())
        taken = tuple(c.value for _, c in self.taken.all())
        return Round(answers, taken, self.repairs, self.redraws, tuple(self.spoiled))


class Rounds:
    """All rounds; the last is open. ``made_safe`` is what goes for the open one."""

    def __init__(self, known: Known, saw: Saw) -> None:
        self._known, self._saw = known, saw
        self._begins: list[int] = []
        """Places of the entries that began a round, from the second on."""
        self._safe: list[tuple[int, str]] = []
        self.all = [OpenRound(saw)]

    @property
    def now(self) -> OpenRound:
        """The open round."""
        return self.all[-1]

    @property
    def made_safe(self) -> tuple[str, ...]:
        """Findings whose danger has been dealt with, as far as it was known by then."""
        return tuple(dict.fromkeys(f for place, f in self._safe if self._holds(place, f)))

    def deny(self, findings: tuple[str, ...], claim: Claim[str]) -> None:
        """Answer no, except where the same speaker is known to have answered."""
        for finding in findings:
            seen = self.now.answers.known(finding, claim.place, claim.speaker)
            if finding in self._known.findings and not seen:
                self.now.answers.add(finding, claim)

    def make_safe(self, place: int, finding: str) -> None:
        """Note that a danger has been dealt with."""
        self._safe.append((place, finding))
        entry = self._known.network.findings[self._known.findings[finding]]
        if not entry.has_sources:
            # Only its leak makes it, and a leak lasts: beside a later no, yes would conflict.
            self.now.answers.drop(place, finding)

    def confirm(self, place: int, finding: str, number: int, claim: Claim[str]) -> None:
        """Add an answer to a round that is over, counted as its author saw the rounds."""
        self._meant(place, number).answers.add(finding, claim)

    def take_back(self, place: int, about: str, number: int) -> None:
        """Leave out what was said in a round, counted as its author saw the rounds."""
        round_ = self._meant(place, number)
        round_.answers.drop(place, about)
        readings = self._known.knowledge.readings
        for reading in round_.taken.abouts():
            if about in {reading, *readings[reading].findings}:
                round_.taken.drop(place, reading)

    def spoil(self, step: str) -> None:
        """Note what a check has made it too late to take."""
        check = self._known.knowledge.checks[step]
        spoilt = (f for f in check.spoils if f in self._known.findings and f not in check.reveals)
        self.now.spoiled.update(dict.fromkeys(spoilt))

    def end(self, place: int, repairs: tuple[str, ...], redraws: tuple[str, ...]) -> None:
        """Begin a round; a danger that whoever ended the last had not heard of goes along."""
        ended = self.now
        ended.repairs = repairs
        ended.redraws = tuple(f for f in redraws if f in self._known.findings)
        self._begins.append(place)
        self._safe = []
        self.all.append(OpenRound(self._saw))
        for about, claim in ended.answers.all():
            if self._danger(about, claim.value) and not self._saw(place, claim.place):
                self.now.answers.add(about, claim)

    def _meant(self, place: int, number: int) -> OpenRound:
        """The round that an author means by a number."""
        seen = [n for n, begin in enumerate(self._begins, 1) if self._saw(place, begin)]
        return self.all[[0, *seen][max(0, min(number, len(seen)))]]

    def _holds(self, place: int, finding: str) -> bool:
        """Whether making safe goes for all that is said of a danger in the open round."""
        return all(
            self._saw(place, claim.place) or self._saw(claim.place, place)
            for claim in self.now.answers.about(finding)
            if self._danger(finding, claim.value)
        )

    def _danger(self, finding: str, answer: str) -> bool:
        """Whether an answer says that a danger is there."""
        dangers = self._known.knowledge.findings[finding].dangers
        return any(alike(self._known, finding, answer, danger.answer) for danger in dangers)
