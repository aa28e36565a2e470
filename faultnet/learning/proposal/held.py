"""Where the numbers that can be learnt are held: what each is called, and what stands with it."""

from collections.abc import Iterator
from typing import Literal

import msgspec

from faultnet.model.cause import Cause, Shows
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.model.repair import Repair
from faultnet.model.system import System
from faultnet.network.build import members

Sum = Literal["any", "at-most-one", "one"]
Path = tuple[str, ...]


class Held(msgspec.Struct, frozen=True):
    """Numbers that stand together: one, the strengths of all answers, the shares of a layout.

    ``id`` is what the author calls them by, ``about`` says it in words, ``labels`` what each of
    several is about. ``guard`` says why nothing here may be changed for what cases say, and is
    empty where it may. ``words`` is the table whose words may stand for a number here.
    ``beside`` is where better numbers for this system alone are written, where these hold for
    every system.
    """

    id: str
    about: str
    numbers: tuple[Number, ...]
    labels: tuple[str, ...] = ("",)
    sum: Sum = "any"
    guard: str = ""
    words: str = ""
    beside: tuple[str, Path] | None = None


def held_by(knowledge: Knowledge, system: System) -> dict[Number, Held]:
    """Return what holds each number of a system that can be learnt."""
    found: dict[Number, Held] = {}
    for held in (*_chances(knowledge, system), *_site(knowledge, system), *_minutes(knowledge)):
        for number in held.numbers:
            found.setdefault(number, held)
    return found


def _chances(knowledge: Knowledge, system: System) -> Iterator[Held]:
    inside = members(knowledge, system)
    for name in inside.causes:
        if name in knowledge.causes:
            yield from _cause(knowledge, knowledge.causes[name])
    unlisted = system.unlisted
    about = "something unlisted"
    yield Held(f"{system.id}/unlisted", f"{about}: how common", (unlisted.how_common,))
    for shows in unlisted.shows:
        yield _shown(knowledge, f"{system.id}/unlisted/shows", about, shows)
    for name in inside.findings:
        yield from _finding(knowledge, knowledge.findings[name])
    looks = "looks that name no other: how often one sees what is not there"
    yield Held("words/look-false-alarm", looks, (knowledge.words.look_false_alarm,))


def _cause(knowledge: Knowledge, cause: Cause) -> Iterator[Held]:
    yield Held(
        f"{cause.id}/how-common", f"{cause.id}: how common", (cause.how_common,), words="how-common"
    )
    for factor in cause.likelier_when:
        what = factor.about if factor.value == "yes" else f"{factor.about}/{factor.value}"
        told = factor.about if factor.value == "yes" else f"{factor.about} is {factor.value}"
        about = f"{cause.id}: likelier when {told}"
        yield Held(f"{cause.id}/likelier-when/{what}", about, (factor.factor,))
    for leads in cause.leads_to:
        if leads.strength is not None:
            about = f"{cause.id} leads to {leads.cause}"
            place = f"{cause.id}/leads-to/{leads.cause}"
            yield Held(place, about, (leads.strength,), words="likelihood")
    for shows in cause.shows:
        yield _shown(knowledge, f"{cause.id}/shows", cause.id, shows)


def _shown(knowledge: Knowledge, place: str, about: str, shows: Shows) -> Held:
    finding = knowledge.findings[shows.finding]
    when = " or ".join(value for values in shows.when.values() for value in values)
    name = f"{place}/{shows.finding}" + (f"/{when.replace(' ', '-')}" if when else "")
    told = f"{about} shows {shows.finding}" + (f" where it is {when}" if when else "")
    return _levels(name, told, finding, shows.strength)


def _finding(knowledge: Knowledge, finding: Finding) -> Iterator[Held]:
    if finding.shows_anyway != (knowledge.words.look_false_alarm,):
        name, about = f"{finding.id}/shows-anyway", f"{finding.id} shows with no cause"
        yield _levels(name, about, finding, finding.shows_anyway)
    for rule in finding.follows_from:
        name = f"{finding.id}/follows-from/{rule.finding}"
        yield _levels(name, f"{finding.id} follows from {rule.finding}", finding, rule.strength)


def _levels(name: str, about: str, finding: Finding, numbers: tuple[Number, ...]) -> Held:
    guard = "it bears on an answer that is a danger" if finding.dangers else ""
    if len(numbers) == 1:
        return Held(name, about, numbers, guard=guard, words="likelihood")
    return Held(name, about, numbers, finding.answers[1:], "at-most-one", guard)


def _site(knowledge: Knowledge, system: System) -> Iterator[Held]:
    """The shares of layouts and how often circumstances hold, in this system."""
    own = system.origin.file
    for layout, priors in system.layout.items():
        numbers = tuple(priors.values())
        held = Held(
            f"{system.id}/layout/{layout}",
            f"{layout}: how usual",
            numbers,
            tuple(priors),
            "one" if len(numbers) > 1 else "any",
        )
        path = ("layout", layout)
        yield held if numbers[0].origin.file == own else _beside(held, knowledge, own, path)
    for name, prior in system.circumstances.items():
        held = Held(f"{system.id}/circumstances/{name}", f"{name}: how often", (prior,))
        path = ("circumstances", name)
        yield held if prior.origin.file == own else _beside(held, knowledge, own, path)


def _beside(held: Held, knowledge: Knowledge, own: str, path: Path) -> Held:
    """The same, written into the system's own file where there are others."""
    if len(knowledge.systems) < 2:
        return held
    return msgspec.structs.replace(held, beside=(own, path))


def _minutes(knowledge: Knowledge) -> Iterator[Held]:
    works: list[Check | Repair] = [*knowledge.checks.values(), *knowledge.repairs.values()]
    for entry in works:
        yield Held(f"{entry.id}/minutes", f"{entry.id}: minutes of work", (entry.work.minutes,))
        guard = "people wait there for their safety" if entry.work.cautions else ""
        waiting, about = entry.work.waiting, f"{entry.id}: minutes of waiting"
        yield Held(f"{entry.id}/waiting", about, (waiting,), guard=guard)
