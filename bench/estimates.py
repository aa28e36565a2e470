"""Measure whether estimated numbers lie in their intervals as often as these say.

Run ``python bench/estimates.py --seeds 20 --cases 200``. For each seed the numbers of a small
system are drawn from what the authored ones are worth (a beta distribution whose top is the
authored number; a log-normal one for factors), closed cases are drawn from the network that
has them, and the numbers are estimated anew. Told is, by kind, how many of the true numbers
lie in their intervals, with what is to be expected of so many. ``--repairs`` also mends: in an
order that does not depend on what is there, and what was there is noted.
"""

import argparse
from collections import defaultdict
from math import exp, sqrt

import click
import msgspec
import numpy as np

from faultnet.advice.imagined import generator_of
from faultnet.advice.subject import Subject, scale
from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.learning.estimate.estimate import Rounds, estimate
from faultnet.learning.estimate.priors import ALL, Priors
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.learning.source import CasesAtHand
from faultnet.model.origin import Number
from faultnet.network.build import build_network, scaled
from faultnet.network.network import Network
from faultnet.network.places import Place, put
from faultnet.network.world import draw_world
from tests.learning.estimate.small import closed_case, small

replace = msgspec.structs.replace


def drawn_truth(
    subject: Subject, priors: Priors, rng: np.random.Generator
) -> tuple[dict[Number, float], Network]:
    """Return true numbers as likely as the priors say, and the network that has them."""
    truth: dict[Number, float] = {}
    places: dict[Place, float] = {}
    for unknown in Unknowns(subject, ALL, priors).all:
        value, worth = unknown.authored.value, unknown.worth
        if unknown.kind == "factor":
            drawn = value * exp(rng.normal() * 2.0 / sqrt(worth))
        else:
            drawn = rng.beta(1.0 + worth * value, 1.0 + worth * (1.0 - value))
        places |= dict.fromkeys(unknown.authored.places, drawn)
    _keep_whole(places)
    for unknown in Unknowns(subject, ALL, priors).all:
        truth[unknown.authored.number] = places[unknown.place]
    network = put(build_network(subject.knowledge, subject.system), places)
    return truth, scaled(network, scale(network, subject.system))


def _keep_whole(places: dict[Place, float]) -> None:
    """Bring shares of a layout to one, and levels of a throw to less where they are beyond."""
    by_throw: dict[tuple[str, int, int], list[Place]] = defaultdict(list)
    for place in places:
        if place.kind in {"link", "leak", "rule", "layout"}:
            by_throw[place.kind, place.of, place.at].append(place)
    for levels in by_throw.values():
        whole = sum(places[place] for place in levels)
        for place in levels:
            places[place] /= whole if place.kind == "layout" else max(1.0, whole / 0.98)


def mended(subject: Subject, network: Network, seed: int, number: int) -> ClosedCase:
    """Return a case in which things were mended in any order, and what was there was noted."""
    case = closed_case(subject, network, seed, number)
    world = draw_world(network, generator_of(seed, number))
    rng = generator_of(seed + 10**6, number)
    repairs = list(subject.mended_by)
    done = [repairs[k] for k in rng.permutation(len(repairs))[: 1 + rng.integers(len(repairs))]]
    seen = [
        network.causes[cause].id
        for repair in done
        for cause in subject.mended_by[repair]
        if cause in world.present and rng.random() < Priors().noted
    ]
    first = replace(case.evidence.now, repairs=tuple(done))
    evidence = replace(case.evidence, rounds=(first, type(first)()))
    return replace(case, evidence=evidence, confirmed=tuple(map(Confirmation, seen)))


def main() -> None:
    """Run all seeds and print a row for each kind."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--cases", type=int, default=150)
    parser.add_argument("--repairs", action="store_true")
    given = parser.parse_args()
    subject, priors = small(), Priors()
    inside: dict[str, list[float]] = defaultdict(list)
    for seed in range(given.seeds):
        truth, network = drawn_truth(subject, priors, generator_of(seed, 0))
        make = mended if given.repairs else closed_case
        cases = tuple(make(subject, network, seed, k + 1) for k in range(given.cases))
        found = estimate(
            subject, CasesAtHand(cases), priors=priors, rounds=Rounds(most=25, least=-1e9)
        )
        for each in found.numbers:
            value = truth[each.number]
            inside[each.kind].append(each.interval.low <= value <= each.interval.high)
    click.echo(f"{'kind':14} {'numbers':>8} {'inside':>8}")
    for kind, hits in sorted(inside.items()):
        click.echo(f"{kind:14} {len(hits):8} {np.mean(hits):8.3f}")
    every = [hit for hits in inside.values() for hit in hits]
    click.echo(f"{'all':14} {len(every):8} {np.mean(every):8.3f}   stated 0.900")


if __name__ == "__main__":
    main()
