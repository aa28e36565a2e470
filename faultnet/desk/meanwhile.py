"""What the house does, and does not do, until somebody comes; common practice."""

from collections.abc import Callable, Iterable

from faultnet.desk.urgency import without_water
from faultnet.model.evidence import Evidence
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.talk import Talk

CYCLES = ("short-cycles-drawing", "starts-with-no-use", "starts-at-every-draw", "switch-chatters")
LOSES_PRIME = (
    "prime-lost-overnight",
    "needs-priming-often",
    "wont-take-prime",
    "no-pressure-build",
)
SHOWS_LOST_PRIME = ("prime-lost-overnight", "prime-level-falls")
UNFIT = ("dirty-water", "sand-in-water", "water-smells")
LEAKS = ("wet-ground", "water-in-pump-space", "starts-with-no-use", "pressure-gone-in-minutes")

LEAKY = 0.2
"""From this chance of a check that leaks on, switching off at night would lose the prime."""

NEVER = (
    "Nobody opens the cistern, looks in, leans over the rim or goes in.",
    "Nobody opens the pump, the switch or the panel, moves a valve, or touches a fuse.",
    "No reset and no start but those that were talked through.",
)
"""What nobody does, whatever the trouble."""

Causes = dict[str, float]
Rule = Callable[[Talk, Progress, Causes], bool]


def _told(*findings: str) -> Rule:
    def rule(talk: Talk, at: Progress, _causes: Causes) -> bool:
        return any(
            f in talk.subject.findings and wrong(talk.finding(f), _said(at.evidence, f))
            for f in findings
        )

    return rule


def _held(circumstance: str) -> Rule:
    return lambda _talk, at, _causes: at.evidence.circumstances.get(circumstance, False)


def _dry(talk: Talk, at: Progress, _causes: Causes) -> bool:
    return without_water(talk, at)


def _off_at_night(talk: Talk, at: Progress, causes: Causes) -> bool:
    """Cycling burns switch and motor; but off, a line whose check leaks runs empty."""
    leaky = sum(
        chance
        for cause, chance in causes.items()
        if any(
            link.finding in SHOWS_LOST_PRIME for link in talk.subject.knowledge.causes[cause].shows
        )
    )
    loses = _told(*LOSES_PRIME)(talk, at, causes) or leaky > LEAKY
    return _told(*CYCLES)(talk, at, causes) and not loses


DO: tuple[tuple[Rule, str], ...] = (
    (_dry, "Leave the pump off at the panel, unless it was started by phone and stops by itself."),
    (_dry, "Switch an electric water heater off, until water runs at a hot tap."),
    (_told(*CYCLES), "Draw as little water as can be: each start wears switch and motor."),
    (_off_at_night, "Switch the pump off at the panel overnight."),
    (_told(*LEAKS), "Switch the pump off at the panel whenever no water is needed."),
    (_told("cistern-low"), "Leave the pump off at the panel, and order water."),
    (_held("after-delivery"), "Leave the pump off for some hours, so that the water settles."),
    (_told(*UNFIT), "Drink other water. Boiling does not take fuel or chemicals out."),
    (_held("after-flood"), "Drink other water until it has been disinfected and sampled."),
    (_held("after-freeze"), "Keep the room of the pump above freezing; thaw nothing with a flame."),
    (lambda *_: True, "Clear the way to the pump: gate open, dog tied, light on, floor dry."),
)
"""When it is told, and what."""


def dos(talk: Talk, at: Progress, causes: Causes) -> tuple[str, ...]:
    """Return what the house does until then; ``causes`` are the chances of causes."""
    return tuple(text for rule, text in DO if rule(talk, at, causes))


def _said(evidence: Evidence, finding: str) -> str:
    told: Iterable[str] = (a.answer for a in evidence.now.answers if a.finding == finding)
    return next(iter(told), "")
