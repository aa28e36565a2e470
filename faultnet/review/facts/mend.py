"""The cheapest new finding that would part two causes: shown by which, revealed by what."""

from collections.abc import Iterable

import msgspec

from faultnet.advice.site import Prices
from faultnet.advice.subject import Subject
from faultnet.authoring.rules.entries import MOST_REVEALED
from faultnet.authoring.when import overlap
from faultnet.model.check import Check
from faultnet.review.facts.told import Told

WORD, NUMBER = "often", 0.7
"""The word for how often the new finding is taken to show, and its number where the files
have no such word; judgement."""


class _Parting(msgspec.Struct, frozen=True):
    """A finding that one of two causes shows: how often the right one would be named."""

    shows: str
    strength: float
    now: float
    then: float


class _Priced(msgspec.Struct, frozen=True):
    """A check with its minutes, the set-ups that it needs among them."""

    check: Check
    minutes: float
    set_ups: tuple[str, ...]

    def __str__(self) -> str:
        """Tell the minutes, and the set-ups that count in them."""
        through = f", {', '.join(self.set_ups)} included" if self.set_ups else ""
        return f"{self.minutes:g} min{through}"


def finding_that_parts(told: Told, one: str, other: str) -> str:
    """Return what to author so that two causes are parted, and how far it would part them."""
    look, room = _cheapest_look(told.subject, one, other), _with_room(told.subject, one, other)
    if look and not (room and room.minutes < look.minutes):
        return (
            f"The look `{look.check.id}` parts them at {look}, and no cheaper check comes near "
            f"either: put both into a look-alikes group with parted-by: {look.check.id}."
        )
    parting = _parting(told, one, other)
    left = other if parting.shows == one else one
    by = f"the check `{room.check.id}` at {room}" if room else "a new check"
    dearer = f" (the look `{look.check.id}` takes {look})" if look else ""
    return (
        f"Write a finding that `{parting.shows}` shows {WORD} ({parting.strength:g}) and "
        f"`{left}` does not, revealed by {by}{dearer}: it names the right one of the two in "
        f"{100 * parting.then:.0f} of 100 such calls instead of {100 * parting.now:.0f}. "
        "Or put both into a look-alikes group."
    )


def _parting(told: Told, one: str, other: str) -> _Parting:
    """The better of the two ways round; just one of the causes is taken to be there."""
    words = told.subject.knowledge.words
    number = words.likelihood.get(WORD)
    strength = number.value if number else NUMBER
    leak = words.look_false_alarm.value
    chances = [float(told.causes[told.subject.causes[c]]) for c in (one, other)]
    total = sum(chances) or 1.0
    share = {c: p / total for c, p in zip((one, other), chances, strict=True)}
    ways = []
    for shows, left in ((one, other), (other, one)):
        yes = 1.0 - (1.0 - strength) * (1.0 - leak)
        then = max(share[shows] * yes, share[left] * leak)
        then += max(share[shows] * (1.0 - yes), share[left] * (1.0 - leak))
        ways.append(_Parting(shows, strength, max(share.values()), then))
    return max(ways, key=lambda way: way.then)


def _cheapest_look(subject: Subject, one: str, other: str) -> _Priced | None:
    """The cheapest check that looks for one of the causes outright."""
    findings = subject.knowledge.findings
    return _cheapest(
        subject,
        (
            check
            for check in subject.knowledge.checks.values()
            if any(f in findings and findings[f].found_cause in (one, other) for f in check.reveals)
        ),
    )


def _with_room(subject: Subject, one: str, other: str) -> _Priced | None:
    """The cheapest check near either cause that could reveal one thing more.

    It reveals something already that one of them shows, or belongs to the same part, and
    can be done wherever both can be.
    """
    causes = [subject.knowledge.causes[c] for c in (one, other)]
    shown = {link.finding for cause in causes for link in cause.shows}
    return _cheapest(
        subject,
        (
            check
            for check in subject.knowledge.checks.values()
            if len(check.reveals) < MOST_REVEALED
            and all(overlap(check.only_when, cause.only_when) for cause in causes)
            and (check.part in {c.part for c in causes} or not shown.isdisjoint(check.reveals))
        ),
    )


def _cheapest(subject: Subject, checks: Iterable[Check]) -> _Priced | None:
    prices = Prices(subject.knowledge)
    found = []
    for check in checks:
        if check.part in subject.system.parts:
            price = prices.work(check.work, frozenset())
            set_ups = tuple(t.title.lower() for t in price.transitions if t.to == "on")
            found.append(_Priced(check, price.minutes, set_ups))
    return min(found, key=lambda each: (each.minutes, each.check.id), default=None)
