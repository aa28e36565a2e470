"""How urgent a call is, by the classes of the trade (general trade practice, no source).

P0 danger; P1 no water and somebody who needs it; P2 no water in a household; P3 it works badly
(cycling burns switch and motor, so it is no nuisance); P4 a nuisance, or to be planned.
"""

import msgspec

from faultnet.advice.dangers import FULL, dangers_met
from faultnet.desk.need import needs
from faultnet.model.finding import URGENCY
from faultnet.model.in_words import plain
from faultnet.visit.call_sheet import NEEDS
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.talk import Talk

TARGETS = {
    "P0": "off now; help on its way; somebody attends at once",
    "P1": "same day, within hours",
    "P2": "same or next day",
    "P3": "one to three days",
    "P4": "by appointment",
}
"""Classes with the time in which somebody comes."""

TITLES = {
    "P0": "Danger",
    "P1": "No water, and it is needed",
    "P2": "No water",
    "P3": "Works badly",
    "P4": "Can be planned",
}

FREEZING = "freezing"
"""The need that freezes pipes, whether or not water comes."""

NO_WATER, DEGRADED, _ = URGENCY


class Urgency(msgspec.Struct, frozen=True):
    """A class with its title, the time in which somebody comes, and why."""

    id: str
    title: str
    target: str
    reason: str


def urgency_of(talk: Talk, at: Progress) -> Urgency:
    """Return how urgent a case is, by all that was told, whoever told it."""
    return _danger(talk, at) or _of_complaint(talk, at)


def without_water(talk: Talk, at: Progress) -> bool:
    """Whether no water comes, or the pump had to be switched off."""
    return _worst(talk, at)[0] == NO_WATER


def _danger(talk: Talk, at: Progress) -> Urgency | None:
    for met in dangers_met(talk.subject, at.evidence):
        if met.stop == FULL:
            title = talk.finding(met.finding).title
            safe = "; said to be safe now" if met.made_safe else ""
            return _urgency("P0", f"{title}{safe}")
    return None


def _of_complaint(talk: Talk, at: Progress) -> Urgency:
    worst, why = _worst(talk, at)
    needed = needs(at)
    if worst == NO_WATER and (needed or _freezing(at)):
        needed = needed or (FREEZING,)
        return _urgency("P1", f"{why}; {', '.join(NEEDS[n].lower() for n in needed)}")
    if worst == NO_WATER:
        return _urgency("P2", why)
    if worst == DEGRADED:
        return _urgency("P3", why)
    return _urgency("P4", why or "nothing was told as wrong")


def _worst(talk: Talk, at: Progress) -> tuple[str, str]:
    """The worst that was told in the open round, and the title of it."""
    found: list[tuple[int, str]] = []
    for answer in at.now.answers:
        finding = talk.finding(answer.finding)
        if not wrong(finding, answer.answer):
            continue
        if finding.urgency:
            found.append((URGENCY.index(finding.urgency), finding.title))
        if finding.dangers:
            found.append((URGENCY.index(NO_WATER), f"{finding.title}: the pump stays off"))
    if not found:
        return "", ""
    place, title = min(found, key=lambda each: each[0])
    return URGENCY[place], title


def _freezing(at: Progress) -> bool:
    return at.evidence.circumstances.get("after-freeze", False)


def _urgency(name: str, reason: str) -> Urgency:
    return Urgency(name, TITLES[name], TARGETS[name], reason)


def said(urgency: Urgency) -> str:
    """Return an urgency in one line."""
    return f"{urgency.id} {plain(urgency.title)}: {urgency.reason}"
