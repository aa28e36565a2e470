"""What each offer does to rankings, to the first order: slopes of all numbers, case by case.

The chance of a cause is moved along its slope on the log-odds. So an effect is about right
for a short move, and its direction for a long one; what all accepted offers do together is
worked out exactly afterwards.
"""

from collections.abc import Iterable, Mapping, Sequence

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.authored import Authored, authored
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.subject import UnknownNameError, make_subject
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.learning.proposal.looked import Looked
from faultnet.learning.proposal.offer import SECTIONS, Offer
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import Standing, stand
from faultnet.sharing.sharing import Sharing

Array = npt.NDArray[np.float64]

SMALL = 1e-9
"""Chances are kept so far from 0 and 1."""


class Effect(msgspec.Struct, frozen=True):
    """What an offer does to the cases looked at.

    ``gain`` is how the log of the chance of what was confirmed moves, summed over ``cases`` (in
    nats; more is better), ``moved`` the same without regard to its sign. In ``firsts`` cases
    another cause comes first. ``minutes`` is what it adds to the minutes expected of the times
    that the step was done.
    """

    cases: int = 0
    gain: float = 0.0
    moved: float = 0.0
    firsts: int = 0
    minutes: float = 0.0

    def add(self, other: "Effect") -> "Effect":
        """Return both together."""
        mine, theirs = msgspec.structs.astuple(self), msgspec.structs.astuple(other)
        return Effect(*(a + b for a, b in zip(mine, theirs, strict=True)))


class Effects:
    """Works out the effect of offers on one case; it can be sent to a process of its own."""

    def __init__(self, knowledge: Knowledge, system: str, offers: Sequence[Offer]) -> None:
        """Keep the moves of the offers; nothing is made ready yet."""
        self.knowledge, self.system = knowledge, system
        self.moves = {
            offer.id: {w.number: w.value - w.number.value for w in offer.written}
            for offer in offers
            if offer.section != "minutes"
        }
        self._made: tuple[Common, dict[Number, Authored]] | None = None

    def __call__(self, case: Looked) -> dict[str, Effect] | None:
        """Return the effects by offer, but those of nothing; None where nothing can be ranked."""
        common, numbers = self._ready()
        try:
            standing = _having(stand(common.subject, case.evidence), case.causes)
            margins = Margins(standing, common)
            found = {
                name: _effect(margins, move, numbers, case) for name, move in self.moves.items()
            }
        except (
            TooLargeError, UnfitReadingError, UnknownNameError, ImpossibleEvidenceError,
        ):  # fmt: skip
            return None
        return {name: effect for name, effect in found.items() if effect is not None}

    def _ready(self) -> tuple[Common, dict[Number, Authored]]:
        if self._made is None:
            subject = make_subject(self.knowledge, self.system)
            self._made = Common(subject), {a.number: a for a in authored(subject)}
        return self._made


def effects_of(
    knowledge: Knowledge,
    system: str,
    offers: Sequence[Offer],
    cases: Sequence[Looked],
    sharing: Sharing,
) -> tuple[dict[str, Effect], int]:
    """Return the effect of each offer on cases, and on how many nothing could be worked out."""
    total: dict[str, Effect] = {offer.id: _minutes(offer) for offer in offers}
    left = 0
    for found in sharing.each(Effects(knowledge, system, offers), cases):
        left += found is None
        for name, effect in (found or {}).items():
            total[name] = total[name].add(effect)
    return total, left


def in_order(offers: Iterable[Offer], effects: Mapping[str, Effect]) -> tuple[Offer, ...]:
    """Return offers section by section, those first that do most; minutes by minutes."""
    sections = list(SECTIONS)

    def weight(offer: Offer) -> tuple[int, float, float, str]:
        effect = effects.get(offer.id, Effect())
        first = sections.index(offer.section)
        return first, -abs(effect.minutes), -effect.moved, offer.id

    return tuple(sorted(offers, key=weight))


def _minutes(offer: Offer) -> Effect:
    """What a change of minutes comes to over the times that a step was done."""
    if offer.section != "minutes":
        return Effect()
    total, times = 0.0, 0.0
    for each in offer.written:
        done = each.proposed.speak_for if each.proposed is not None else 0.0
        total += (each.value - each.number.value) * done
        times += done
    return Effect(round(times), minutes=total)


def _having(standing: Standing, causes: Sequence[str]) -> Standing:
    """The same, with causes looked at that are far from coming first."""
    more = tuple(cause for cause in causes if cause not in standing.causes)
    return msgspec.structs.replace(
        standing,
        causes=(*standing.causes, *more),
        alike=(*standing.alike, *(False for _ in more)),
        chances=(*standing.chances, *(0.0 for _ in more)),
    )


def _effect(
    margins: Margins,
    move: Mapping[Number, float],
    numbers: Mapping[Number, Authored],
    case: Looked,
) -> Effect | None:
    """What moving numbers does to a case; None where it does nothing."""
    standing = margins.standing
    far = np.zeros(len(standing.causes))
    for number, by in move.items():
        slopes = margins.slopes(numbers[number]) if number in numbers and by else None
        if slopes is not None:
            far = far + by * slopes
    if not far.any():
        return None
    before = np.clip(standing.weights / standing.total, SMALL, 1.0 - SMALL)
    odds = np.log(before / (1.0 - before)) + far / (before * (1.0 - before))
    now = 1.0 / (1.0 + np.exp(-np.clip(odds, -50.0, 50.0)))
    true = [standing.causes.index(cause) for cause in case.causes]
    gain = float(np.log(np.clip(now[true], SMALL, 1.0) / before[true]).sum())
    changed = int(np.argmax(now)) != int(np.argmax(before))
    return Effect(1, gain, abs(gain), int(changed))
