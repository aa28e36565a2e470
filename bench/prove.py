"""Measure what it takes to prove the cases beside the shipped knowledge.

Run ``python bench/prove.py``. Every so many cases are ranked as a whole and proved, one after
the other on one processor, and the seconds of the processor are compared. Then all of them are
proved by one process and by several, and the seconds of the wall are; on a machine that others
use as well the second figure says little.
"""

import argparse
import time

import click

from faultnet.advice.prove import proof_of
from faultnet.advice.ranking import rank
from faultnet.advice.subjects import Subjects
from faultnet.authoring.examples import read_examples
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.review.proofs import prove
from faultnet.sharing.workers import processors


def main() -> None:
    """Print both figures."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--every", type=int, default=1, help="take one case of so many")
    every = parser.parse_args().every
    knowledge = load(shipped_folder())
    examples = read_examples(shipped_folder(), knowledge)[0][::every]
    whole, lean = Subjects(knowledge), Subjects(knowledge)
    ranked = proved = 0.0
    for example in examples:
        subjects = whole[example.system], lean[example.system]
        start = time.process_time()
        rank(subjects[0], example.evidence)
        middle = time.process_time()
        proof_of(subjects[1], example)
        proved += time.process_time() - middle
        ranked += middle - start
    click.echo(f"{len(examples)} cases, seconds of one processor:")
    click.echo(f"  ranked as a whole {ranked:6.1f}")
    click.echo(f"  proved            {proved:6.1f}   {proved / ranked:.2f} of that")
    for workers in (1, processors()):
        start = time.perf_counter()
        failed = sum(not proof.passed for proof in prove(knowledge, examples, workers))
        seconds = time.perf_counter() - start
        click.echo(f"{workers} processes: {seconds:6.1f} seconds of the wall, {failed} fail")


if __name__ == "__main__":
    main()
