"""Imagined calls: a site drawn from the network, and what its caller says about it.

What is at fault and what shows is drawn by ``network.world``. Which complaints and questions
are told is chosen here; what is said of each is drawn by how far its speaker can be trusted,
so that a caller errs as often as the knowledge says. Call k of a seed is the same whatever
calls are made beside it, and by however many workers.
"""

from functools import cached_property

import msgspec
import numpy as np

from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.finding import Finding
from faultnet.network.world import World, draw_world, shown


class Manner(msgspec.Struct, frozen=True):
    """What of a site is told in a call; all of it is judgement.

    At most ``complaints`` of what is wrong, and the answers to ``questions`` more that are
    asked whatever is wrong. Each fact of the layout, and each circumstance, is told with the
    chance ``knows``, and told rightly.
    """

    complaints: int = 2
    questions: int = 4
    knows: float = 0.8
    speaker: str = "caller"


class ImaginedCall(msgspec.Struct, frozen=True):
    """One call: its number, what is at the site, what is at fault, and what was told."""

    system: str
    number: int
    world: World
    causes: tuple[str, ...]
    evidence: Evidence
    complaints: tuple[str, ...] = ()
    """What is wrong and was complained of; it may be told falsely for all that."""


USUAL = Manner()
"""What is told in the usual call."""


def generator_of(seed: int, number: int) -> np.random.Generator:
    """Return the numbers of one call: those of the child of this number of the seed."""
    return np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(number,)))


def imagine(subject: Subject, seed: int, number: int, manner: Manner = USUAL) -> ImaginedCall:
    """Return one call by its number.

    Raises ``ValueError`` where the system has no cause that could be there, and
    ``UnknownNameError`` for a speaker that the knowledge does not know.
    """
    return imagined(subject, generator_of(seed, number), number, manner)


def imagined(
    subject: Subject, rng: np.random.Generator, number: int, manner: Manner = USUAL
) -> ImaginedCall:
    """Return the call that comes of some numbers; raise as ``imagine``."""
    world = draw_world(subject.network, rng)
    names = sorted(subject.network.causes[cause].id for cause in world.present)
    told = _Telling(subject, world, manner, rng)
    complaints = told.complaints
    evidence = Evidence((Round(told.answers(complaints)),), told.layout(), told.circumstances())
    wrong = tuple(entry.id for entry in complaints)
    return ImaginedCall(subject.system.id, number, world, tuple(names), evidence, wrong)


class _Telling:
    """What one caller tells of one site."""

    def __init__(
        self, subject: Subject, world: World, manner: Manner, rng: np.random.Generator
    ) -> None:
        self.subject = subject
        self.world = world
        self.manner = manner
        self.rng = rng
        self.shown = shown(subject.network, world)

    @cached_property
    def complaints(self) -> list[Finding]:
        """What is complained of."""
        wrong = [e for e in self._entries if e.urgency and self._at[e.id] > 0]
        return self._some(wrong, self.manner.complaints)

    def answers(self, complaints: list[Finding]) -> tuple[Answer, ...]:
        """What is said of the complaints, then of what else is asked."""
        others = [e for e in self._entries if self._asked(e) and e not in complaints]
        asked = [*complaints, *self._some(others, self.manner.questions)]
        return tuple(self._said(entry, self._at[entry.id]) for entry in asked)

    @cached_property
    def _entries(self) -> list[Finding]:
        findings = self.subject.knowledge.findings
        return [findings[finding.id] for finding in self.subject.network.findings]

    @cached_property
    def _at(self) -> dict[str, int]:
        """What every finding shows."""
        return {e.id: value for e, value in zip(self._entries, self.shown, strict=True)}

    def layout(self) -> dict[str, str]:
        """The facts of the installation that are known."""
        return {name: self._state(name) for name in self.subject.system.layout if self._is_known()}

    def circumstances(self) -> dict[str, bool]:
        """What is known to have happened just before, or not to have."""
        return {
            name: self._state(name) == "yes"
            for name in self.subject.system.circumstances
            if self._is_known()
        }

    def _asked(self, entry: Finding) -> bool:
        if entry.found_cause:
            return False
        return bool(entry.ask_caller) or self.manner.speaker != "caller"

    def _some(self, entries: list[Finding], most: int) -> list[Finding]:
        """Some of the findings, each as likely as any other."""
        return [entries[k] for k in self.rng.permutation(len(entries))[:most]]

    def _said(self, entry: Finding, value: int) -> Answer:
        answers = [Answer(entry.id, each, self.manner.speaker) for each in entry.all_answers]
        chances = np.array([said(self.subject, answer)[value] for answer in answers])
        return answers[int(self.rng.choice(len(answers), p=chances / chances.sum()))]

    def _state(self, name: str) -> str:
        root = self.subject.roots[name]
        return self.subject.network.roots[root].states[self.world.roots[root]]

    def _is_known(self) -> bool:
        return bool(self.rng.random() < self.manner.knows)
