"""Measure how dear all slopes of a ranking are, against ranking anew once per number.

Run ``python bench/sensitivity.py``; ``--cases N`` takes more cases beside the knowledge. Both
ways run in this process, one after the other, on the same case: the slopes of the chance of
the first cause in every number that bears on it, from one sweep forward and back; and one
ranking for each of these numbers, moved by a little. A one-sided difference needs no more.
Told are seconds of the processor, their ratio, and how far slope and difference lie apart:
that much is what a difference of this step can be wrong by.
"""

import argparse
import time

import click

from faultnet.advice.authored import Authored, authored
from faultnet.advice.ranking import believe
from faultnet.advice.subject import make_subject
from faultnet.authoring.examples import read_examples
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.inference.query import Query
from faultnet.model.evidence import Evidence
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import stand

STEP = 1e-6
"""By how much, as a share, a number is moved."""
CASES = 2


def main() -> None:
    """Measure some cases and print a row for each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=CASES, metavar="N")
    count = parser.parse_args().cases
    knowledge = load(shipped_folder())
    examples, _ = read_examples(shipped_folder(), knowledge)
    click.echo(f"{'case':36} {'numbers':>7} {'slopes':>8} {'anew':>8} {'ratio':>6} {'apart':>8}")
    for example in examples[:: max(1, len(examples) // count)][:count]:
        common = Common(make_subject(knowledge, example.system))
        slopes, own = _slopes(common, example.evidence)
        apart, anew = _anew(common, example.evidence, slopes)
        row = f"{example.id[:36]:36} {len(slopes):7} {own:8.2f} {anew:8.2f}"
        click.echo(f"{row} {anew / own:6.0f} {apart:8.1e}")


def _slopes(common: Common, evidence: Evidence) -> tuple[dict[Authored, float], float]:
    """Every slope that is not nothing, and the seconds that all of them took."""
    start = time.process_time()
    asked = Margins(stand(common.subject, evidence), common)
    found = {}
    for number in authored(common.subject):
        slope = asked.slope(number)
        if slope:
            found[number] = slope
    return found, time.process_time() - start


def _anew(common: Common, evidence: Evidence, slopes: dict[Authored, float]) -> tuple[float, float]:
    """The largest distance of a slope from a difference, and the seconds of all rankings."""
    standing = stand(common.subject, evidence)
    first, before = standing.causes[0], standing.chances[0]
    start, apart = time.process_time(), 0.0
    for number, slope in slopes.items():
        moved = number.value * (1.0 + STEP)
        network = common.moved(dict.fromkeys(number.places, moved))
        after = believe(common.subject, Query(network, standing.observed)).causes[first]
        apart = max(apart, abs((after - before) / STEP - slope * number.value))
    return apart, time.process_time() - start


if __name__ == "__main__":
    main()
