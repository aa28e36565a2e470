"""The few facts of the installation that most of the knowledge hangs on."""

from collections.abc import Iterator

from msgspec.structs import replace

from faultnet.cases.events import Passed
from faultnet.network.network import Condition, Network
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Reply, Turn

STAGE = "layout"
ASKED = 4
"""Questions about the layout at the start; steps ask for the others where they matter."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the next question about the layout."""
    if STAGE in at.passed:
        return None
    asked_about = weightiest(talk)[:ASKED]
    left = [layout for layout in asked_about if not at.settled(layout)]
    if not left:
        return None
    heading = f"The installation, {len(asked_about) - len(left) + 1} of {len(asked_about)}"
    turn = question(talk, at, left[0], heading)
    skip = Reply("s", "skip these questions", Passed(STAGE))
    lines = (Line("note", "It decides what a sign means. Look, touch nothing."),)
    return replace(turn, lines=lines, replies=(*turn.replies, skip))


def weightiest(talk: Talk) -> list[str]:
    """Return the layouts with more than one possible value, the weightiest first.

    The weight is the share of all trouble that depends on it, times how unsure it is.
    """
    network = talk.subject.network
    hanging = list(_hanging(network))
    weights: dict[str, float] = {}
    for index, root in enumerate(network.roots):
        unsure = 1.0 - max(root.prior)
        if root.id in talk.subject.system.layout and unsure > 0.0:
            share = sum(much for on, much in hanging if any(root == index for root, _ in on))
            weights[root.id] = share * unsure
    return sorted(weights, key=lambda layout: -weights[layout])


def _hanging(network: Network) -> Iterator[tuple[Condition, float]]:
    """Yield what hangs on roots, with how much trouble it stands for per call."""
    for cause in network.causes:
        yield cause.when, cause.probability
        yield tuple((root, ()) for root, _ in cause.factors), cause.probability
    shown: list[float] = []
    for finding in network.findings:
        links = [
            (link.when + finding.when, network.causes[link.source].probability * sum(link.levels))
            for link in finding.links
        ]
        links += [
            (rule.when + finding.when, shown[rule.source] * sum(rule.levels))
            for rule in finding.follows
        ]
        shown.append(sum(much for _, much in links))
        yield from links
