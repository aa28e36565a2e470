"""Rules of safety on the closed fields of checks, repairs and set-ups."""

import re
from collections.abc import Iterable, Iterator

from faultnet.authoring.problem import Problem, problem
from faultnet.model.check import Check, Work
from faultnet.model.knowledge import Knowledge
from faultnet.model.repair import Repair

LOCKED = "power-locked-out"
BLED = "pressure-bled"
_DEAD = ("locked-out", "off")
_CALLER_VALVES = ("house-tap",)
_OPENERS = re.compile(
    r"driver|wrench|spanner|plier|socket|ratchet|allen|hex|key|pry|bar|knife|saw|drill|hammer"
    r"|meter|tester|megger|snips|cutter|torx|chisel|crow",
)
_HARMLESS = re.compile(r"thermometer|water-meter")


def safe_work(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield a problem for every rule of safety that a check or repair breaks."""
    jobs: tuple[Check | Repair, ...] = (*knowledge.checks.values(), *knowledge.repairs.values())
    for job in jobs:
        for message, hint in _breaks(job.work, knowledge):
            yield problem("unsafe-step", job.origin, message, hint, entity=job.id)
    yield from _contradictions(jobs, knowledge)
    yield from _restarts(knowledge)


def site_of(work: Work, knowledge: Knowledge) -> frozenset[str]:
    """Return the set-ups that are on during the work, those they require included."""
    return with_required([name for name, wanted in work.set_ups.items() if wanted], knowledge)


def with_required(set_ups: Iterable[str], knowledge: Knowledge) -> frozenset[str]:
    """Return set-ups with all that they require."""
    found: set[str] = set()
    waiting = list(set_ups)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            set_up = knowledge.set_ups.get(name)
            waiting.extend(set_up.requires if set_up else ())
    return frozenset(found)


def _breaks(work: Work, knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    site = site_of(work, knowledge)
    locked = work.power == "locked-out" or LOCKED in site
    dead = locked or work.power in _DEAD
    if not work.power:
        return
    if work.power == "on" and LOCKED in site:
        yield (
            "The power is on, but a set-up needs it locked out.",
            f"Write power: locked-out, or take away the set-up that requires {LOCKED}.",
        )
    if work.power == "locked-out" and work.set_ups.get(LOCKED) is False:
        yield (
            f"The power is locked out, but the set-ups say {LOCKED}: off.",
            f"Take `{LOCKED}: off` away.",
        )
    if work.opens == "cover" and not locked and work.who != "qualified":
        yield (
            "A cover comes off with the power not locked out.",
            "Write power: locked-out, or who: qualified where live work cannot be avoided.",
        )
    if "pump-tank-valve" in work.valves and not dead:
        yield (
            "The valve between pump and tank is moved with the power on.",
            "Write power: locked-out; a pump against a shut valve bursts or scalds.",
        )
    if work.opens in ("port", "pipe"):
        yield from _opened(work, dead=dead, bled=BLED in site)
    if work.who == "caller":
        yield from _by_caller(work, site, knowledge)


def _opened(work: Work, *, dead: bool, bled: bool) -> Iterator[tuple[str, str]]:
    if not dead:
        yield (
            f"A {work.opens} is opened with the power not off.",
            "Write power: locked-out.",
        )
    if not bled:
        yield (
            f"A {work.opens} is opened without the pressure let off.",
            f"Add {BLED}: on to its set-ups.",
        )


def _by_caller(work: Work, site: frozenset[str], knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    for valve in work.valves:
        if valve not in _CALLER_VALVES:
            yield (f"A caller would move a valve ({valve}).", "Write who: technician.")
    if work.opens not in ("nothing", ""):
        yield (f"A caller would open something ({work.opens}).", "Write who: technician.")
    for tool in work.tools:
        if _OPENERS.search(tool.lower()) and not _HARMLESS.search(tool.lower()):
            yield (
                f"A caller would need a tool that opens or measures ({tool}).",
                "Take the tool away, or write who: technician.",
            )
    for name in sorted(site):
        set_up = knowledge.set_ups.get(name)
        if set_up is not None and set_up.who not in ("caller", ""):
            yield (
                f"A caller would need `{name}`, which is for the {set_up.who}.",
                "Write who: technician.",
            )


def _contradictions(jobs: tuple[Check | Repair, ...], knowledge: Knowledge) -> Iterator[Problem]:
    for job in jobs:
        refused = {name for name, wanted in job.work.set_ups.items() if not wanted}
        for name in sorted(site_of(job.work, knowledge) & refused):
            message = f"The set-up `{name}` must be off, but another one here requires it."
            hint = f"Take `{name}: off` away, or the set-up that requires it."
            yield problem("set-ups-contradict", job.origin, message, hint, entity=job.id)


def _restarts(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield restarts by phone before which a danger with a full stop need not be denied."""
    dangers = [
        finding
        for finding in knowledge.findings.values()
        if any(danger.stop == "full" for danger in finding.dangers)
    ]
    for procedure in knowledge.procedures.values():
        if procedure.by_phone is None or not procedure.by_phone.starts_pump:
            continue
        first = procedure.by_phone.first
        for danger in dangers:
            if first.get(danger.id) not in {"no", danger.normal}:
                message = f"A caller would start the pump with `{danger.id}` not denied."
                hint = f"Add `{danger.id}: {danger.normal}` to `first` below by-phone."
                yield problem("unsafe-step", procedure.origin, message, hint, entity=procedure.id)
