"""Closed cases of a small system, drawn from its network and looked at by chance."""

from functools import cache
from pathlib import Path

import msgspec
import numpy as np

from faultnet.advice.imagined import generator_of
from faultnet.advice.observe import said
from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.network.network import Network
from faultnet.network.world import draw_world, shown

FOLDER = Path(__file__).parents[2] / "visit" / "knowledge"


@cache
def small() -> Subject:
    """Return a system with layouts, a circumstance, a rule, graded answers and hiders."""
    knowledge, _ = read_knowledge(FOLDER)
    assert knowledge is not None
    return make_subject(knowledge, "small-pump")


def closed_case(
    subject: Subject, network: Network, seed: int, number: int, asked: float = 0.7
) -> ClosedCase:
    """Return a case whose site is drawn from a network, and of which any thing may be asked.

    What is asked does not depend on what is there; all causes are seen in the end.
    """
    rng = generator_of(seed, number)
    world = draw_world(network, rng)
    answers = []
    for finding, value in zip(network.findings, shown(network, world), strict=True):
        if rng.random() < asked:
            entry = subject.knowledge.findings[finding.id]
            each = [Answer(finding.id, answer) for answer in entry.all_answers]
            chances = np.array([said(subject, answer)[value] for answer in each])
            answers.append(each[int(rng.choice(len(each), p=chances / chances.sum()))])
    layout = {
        name: network.roots[root].states[world.roots[root]]
        for name, root in subject.roots.items()
        if name in subject.system.layout and rng.random() < asked
    }
    held = {
        name: bool(world.roots[subject.roots[name]])
        for name in subject.system.circumstances
        if rng.random() < asked
    }
    evidence = Evidence((Round(tuple(answers)),), layout, held)
    return ClosedCase(f"case-{number}", subject.system.id, "", "", "referred", evidence)


def looked_at(subject: Subject, network: Network, seed: int, number: int) -> ClosedCase:
    """Return such a case in which one cause was looked at, whichever it is, and named if there."""
    case = closed_case(subject, network, seed, number)
    world = draw_world(network, generator_of(seed, number))
    names = [network.causes[cause].id for cause in sorted(world.present)]
    return msgspec.structs.replace(case, confirmed=(Confirmation(names[0]),))
