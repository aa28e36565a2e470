"""Random small networks and evidence for property tests."""

import random

from faultnet.inference.observed import BroughtIn, Mend, Observed
from faultnet.network.network import Bring, Cause, Condition, Finding, Link, Network, Root


def random_network(seed: int, *, roots=2, causes=3, findings=4, faults="several") -> Network:
    """A network with every mechanism: roots, factors, brings, gates, rules, levels."""
    rng = random.Random(seed)
    root_list = []
    for k in range(roots):
        n = rng.choice([2, 2, 3])
        prior = [rng.random() + 0.05 for _ in range(n)]
        total = sum(prior)
        root_list.append(
            Root(f"root-{k}", tuple(f"s{i}" for i in range(n)), tuple(p / total for p in prior))
        )
    cause_list = []
    for k in range(causes):
        factors = tuple(
            (r, tuple(rng.choice([1.0, 1.0, 3.0, 0.5]) for _ in root_list[r].states))
            for r in range(roots)
            if rng.random() < 0.5
        )
        brings = tuple(Bring(c, rng.random()) for c in range(k + 1, causes) if rng.random() < 0.3)
        cause_list.append(
            Cause(
                f"cause-{k}", rng.random() * 0.4 + 0.01, factors, _condition(rng, root_list), brings
            )
        )
    finding_list: list[Finding] = []
    gates: set[int] = set()
    for k in range(findings):
        levels = rng.choice([1, 1, 1, 2])
        others = [j for j in range(k) if not finding_list[j].needs]
        hidden = tuple(j for j in others if rng.random() < 0.25)
        hidden = _closed(finding_list, hidden)
        needs = tuple(j for j in others if rng.random() < 0.15 and j not in hidden)
        needs = _closed(finding_list, needs)
        follows = tuple(
            Link(j, _levels(rng, levels), _condition(rng, root_list))
            for j in range(k)
            if rng.random() < 0.25 and j not in hidden and j not in needs
        )
        links = tuple(
            Link(c, _levels(rng, levels), _condition(rng, root_list))
            for c in range(causes)
            if rng.random() < 0.6
        )
        finding_list.append(
            Finding(
                f"finding-{k}",
                tuple(f"a{i}" for i in range(levels + 1)),
                tuple(0.1 * x for x in _levels(rng, levels)),
                links,
                follows,
                hidden,
                needs,
                _condition(rng, root_list, 0.1),
                fitful=rng.random() < 0.2,
            )
        )
        gates |= set(hidden) | set(needs)
    return Network("random", tuple(root_list), tuple(cause_list), tuple(finding_list), faults)


def _closed(findings: list[Finding], gates: tuple[int, ...]) -> tuple[int, ...]:
    """Hiding is transitive: whatever hides a hider hides too."""
    result = set(gates)
    for g in sorted(gates, reverse=True):
        result |= set(findings[g].hidden_by)
    return tuple(sorted(result))


def _levels(rng: random.Random, n: int) -> tuple[float, ...]:
    cuts = sorted(rng.random() for _ in range(n))
    return tuple(b - a for a, b in zip([0.0, *cuts], cuts, strict=False))


def _condition(rng: random.Random, roots: list[Root], chance: float = 0.2) -> Condition:
    result = []
    for r, root in enumerate(roots):
        if rng.random() < chance:
            allowed = tuple(rng.random() < 0.6 for _ in root.states)
            result.append((r, allowed if any(allowed) else (True, *allowed[1:])))
    return tuple(result)


def random_observed(seed: int, network: Network, *, rounds: int | None = None) -> Observed:
    """Hard and soft answers in one to three rounds, with repairs between."""
    rng = random.Random(seed)
    rounds = rounds or rng.choice([1, 1, 1, 2, 2, 3])
    findings = {}
    for k, finding in enumerate(network.findings):
        size = len(finding.answers) + bool(finding.needs)
        for r in range(rounds):
            pick = rng.random()
            if pick < 0.25:
                findings[k, r] = tuple(rng.random() for _ in range(size))
            elif pick < 0.7:
                hot = 0 if rng.random() < 0.5 else rng.randrange(size)
                findings[k, r] = tuple(float(i == hot) for i in range(size))
    roots = {}
    for r, root in enumerate(network.roots):
        if rng.random() < 0.3:
            hot = rng.randrange(len(root.states))
            roots[r] = tuple(float(i == hot) for i in range(len(root.states)))
    mends = tuple(
        Mend(c, r, rng.choice([1.0, 0.8]))
        for r in range(rounds - 1)
        for c in range(len(network.causes))
        if rng.random() < 0.4
    )
    brought = tuple(
        BroughtIn(c, r, 0.3)
        for r in range(rounds - 1)
        for c in range(len(network.causes))
        if rng.random() < 0.2
    )
    redraws = tuple(
        (f, r) for r in range(1, rounds) for f in range(len(network.findings)) if rng.random() < 0.1
    )
    return Observed(rounds, roots, findings, mends, brought, redraws)
