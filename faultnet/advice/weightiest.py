"""The facts of the installation that most of the knowledge hangs on."""

from collections.abc import Container, Iterator

from faultnet.network.network import Condition, Network


def weightiest(network: Network, layout: Container[str]) -> tuple[str, ...]:
    """Return the layouts with more than one possible value, the weightiest first.

    The weight is the share of all trouble that depends on it, times how unsure it is.
    """
    hanging = list(_hanging(network))
    weights: dict[str, float] = {}
    for index, root in enumerate(network.roots):
        unsure = 1.0 - max(root.prior)
        if root.id in layout and unsure > 0.0:
            share = sum(much for on, much in hanging if any(root == index for root, _ in on))
            weights[root.id] = share * unsure
    return tuple(sorted(weights, key=lambda name: -weights[name]))


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
