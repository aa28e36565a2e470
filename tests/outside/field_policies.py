"""Ways to go about a field case, played to the end on its site, every step at its price.

All of them start from the same account and layout, pay the same prices from the same state of the
site, undo what was set up after a repair, and stop when a true cause is mended. Whoever has
spent what the specialist costs hands over. What the account leaves out is learnt by checks
alone, and every check has its price, one that only asks too.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from unittest.mock import patch

from msgspec.structs import replace

from faultnet.advice.candidates import candidates
from faultnet.advice.ranking import rank
from faultnet.advice.site import Prices, State
from faultnet.advice.standing import SPECIALIST
from faultnet.advice.subject import Subject
from faultnet.cases.events import (
    AnyEvent,
    Ending,
    MadeSafe,
    Opened,
    RepairDone,
    StepDone,
    TakenBack,
    Told,
)
from faultnet.learning.trials.visit import called
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.visit.turn import DONE, ENTER, Turn
from faultnet.visit.visit import Visit
from tests.outside.field_report import SPEAKERS, evidence_of
from tests.outside.field_world import World
from tests.visit.press import opened

ASIDE = {"as-found": "s", "what-was-wrong": "?"}
"""Turns that a field case tells nothing about, with the key that goes on: the state as found,
and what had been wrong where a repair did not end the trouble."""

CELLS = 2**18
"""Above this size the engine refuses here, and the visit asks to leave out an answer."""


@dataclass(frozen=True)
class Taken:
    """A check or repair that was done, or the specialist, with its minutes."""

    id: str
    minutes: float


@dataclass
class Run:
    """What was done so far; ``known`` counts the steps until a true cause was known."""

    world: World
    prices: Prices
    taken: list[Taken] = field(default_factory=list)
    known: int | None = None
    mended: bool = False
    state: State = frozenset()
    trouble: list[str] = field(default_factory=list)
    """Turns of a visit at which an answer had to be left out: too much at once, or a conflict."""

    @property
    def minutes(self) -> float:
        """Minutes in all."""
        return sum(step.minutes for step in self.taken)

    @property
    def minutes_known(self) -> float:
        """Minutes until a true cause was known; all of them where it never was."""
        return sum(step.minutes for step in self.taken[: self.known])

    @property
    def steps_known(self) -> int:
        """Steps until a true cause was known; all of them where it never was."""
        return len(self.taken) if self.known is None else self.known

    @property
    def specialist(self) -> float:
        """What the specialist costs, in minutes."""
        return self.world.subject.system.specialist.minutes.value

    @property
    def over(self) -> bool:
        """Whether a true cause is mended, or the specialist was sent for."""
        return self.mended or any(step.id == SPECIALIST for step in self.taken)

    def check(self, name: str) -> None:
        """Do a check."""
        work = self.world.subject.knowledge.checks[name].work
        price = self.prices.work(work, self.state)
        self._take(name, price.minutes, price.after, known=bool(self.world.found_by(name)))

    def repair(self, name: str) -> None:
        """Do a repair, undo what is set up, and try."""
        price = self.prices.repair(self.world.subject.knowledge.repairs[name], self.state)
        self.mended = name in self.world.mending
        self._take(name, price.minutes, called(price.after), known=self.mended)

    def hand_over(self) -> None:
        """Send for the specialist."""
        self._take(SPECIALIST, self.specialist, self.state, known=False)

    def _take(self, name: str, minutes: float, after: State, *, known: bool) -> None:
        self.taken.append(Taken(name, minutes))
        self.state = after
        if known and self.known is None:
            self.known = len(self.taken)
        if not self.over and self.minutes >= self.specialist:
            self.hand_over()


@patch("faultnet.inference.query.CELL_LIMIT", CELLS)
def by_visit(world: World) -> tuple[Run, Visit]:
    """Do what `visit` asks for, turn by turn."""
    run = Run(world, Prices(world.subject.knowledge))
    begin = Opened(world.case.system, layout=world.layout)
    visit = opened(world.subject, begin, *(Told(f, a) for f, a in world.case.given.items()))
    while not run.over:
        if visit.turn.kind in {"conflict", "too-large"}:
            run.trouble.append(visit.turn.kind)
        event = reply(world, visit.turn)
        match event:
            case StepDone(step):
                run.check(step)
            case RepairDone(repair):
                run.repair(repair)
            case Ending():
                run.hand_over()
        visit = visit.after(event)
    return run, visit


def reply(world: World, turn: Turn) -> AnyEvent:
    """Return what somebody at this site says or does, while the trouble lasts."""
    if turn.kind in ASIDE:
        return _by_key(turn, ASIDE[turn.kind])
    if turn.typed is not None:
        return MadeSafe(turn.typed.what.partition(":")[2])
    events = [each.event for each in turn.replies if each.event is not None]
    told = [event for event in events if isinstance(event, Told)]
    if turn.kind == "dangers":
        here = [event for event in told if world.answers[event.about] == event.answer]
        return here[0] if here else _by_key(turn, "n")
    if told:
        return Told(told[0].about, world.answers[told[0].about])
    if turn.kind in {"conflict", "too-large"}:
        back = [event for event in events if isinstance(event, TakenBack)]
        unsure = [event for event in back if event.about not in world.case.given]
        return unsure[0] if unsure else Ending("referred")
    return _by_key(turn, "n") if turn.kind == "works" else _by_key(turn, DONE, "y", ENTER)


def _by_key(turn: Turn, *keys: str) -> AnyEvent:
    found = (turn.reply(key) for key in keys)
    return next(each.event for each in found if each is not None and each.event is not None)


def in_order(world: World, *, cheapest: bool) -> Run:
    """Do every check there is, cheapest first or as authored; what is found is mended."""
    knowledge = world.subject.knowledge
    run = Run(world, Prices(knowledge))
    checks = _checks(world)
    if cheapest:
        checks.sort(key=lambda c: run.prices.work(knowledge.checks[c].work, run.state).minutes)
    seen = dict(world.case.given)
    for check in checks:
        run.check(check)
        seen |= {f: world.answers[f] for f in knowledge.checks[check].reveals if f in world.answers}
        found = world.found_by(check)
        if found and not run.over:
            run.repair(knowledge.causes[found].repair)
        if run.over:
            return run
    return _mending(run, _evidence(world, seen))


def most_probable_first(world: World) -> Run:
    """Mend the most probable cause, then what is most probable without it, and so on."""
    run = Run(world, Prices(world.subject.knowledge))
    return _mending(run, _account(world))


def _mending(run: Run, evidence: Evidence) -> Run:
    subject, done = run.world.subject, frozenset[str]()
    causes = subject.knowledge.causes
    while not run.over:
        ranked = rank(_without(subject, done), evidence).causes
        left = [causes[c.id].repair for c in ranked if causes[c.id].repair not in done]
        if left:
            run.repair(left[0])
            done |= {left[0]}
        else:
            run.hand_over()
    return run


def _without(subject: Subject, repairs: frozenset[str]) -> Subject:
    """The same system with the causes gone that some repairs mend."""
    gone = {cause for repair in repairs for cause in subject.mended_by[repair]}
    entries = [
        replace(cause, probability=0.0) if index in gone else cause
        for index, cause in enumerate(subject.network.causes)
    ]
    return replace(subject, network=replace(subject.network, causes=tuple(entries)))


def _checks(world: World) -> list[str]:
    """The checks that can be done at this site and are not all told already."""
    evidence = _account(world)
    open_ = candidates(
        world.subject, evidence, "technician", lambda layout, v: float(world.answers[layout] in v)
    )
    return [candidate.check.id for candidate in open_]


def _account(world: World) -> Evidence:
    """What is known before the first step."""
    told = evidence_of(world.subject, world.case, SPEAKERS[0])
    return replace(told, layout=world.layout)


def _evidence(world: World, seen: dict[str, str]) -> Evidence:
    """All that was told and seen."""
    subject = world.subject
    answers = tuple(Answer(f, a) for f, a in seen.items() if f in subject.findings)
    before = {c: a == "yes" for c, a in seen.items() if c in subject.system.circumstances}
    layout = {a: v for a, v in seen.items() if a in subject.system.layout}
    return Evidence((Round(answers),), {**layout, **world.layout}, before)


POLICIES: dict[str, Callable[[World], Run]] = {
    "visit": lambda world: by_visit(world)[0],
    "cheapest check first": lambda world: in_order(world, cheapest=True),
    "checks as authored": lambda world: in_order(world, cheapest=False),
    "most probable first": most_probable_first,
}
"""What is compared; the tool comes first."""
