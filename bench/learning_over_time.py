"""How fast minutes, drift, regions and newcomers are learnt, and what they say of no difference.

All cases are imagined from the shipped knowledge, so every number that is proposed is a false one
but for newcomers: one cause is left out of the files. Times are those of the processor.

    PYTHONPATH=. python bench/learning_over_time.py [CASES]
"""

import sys
import time
from collections.abc import Callable
from typing import Any

import click

from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.learning.altered.truth import truth_of
from faultnet.learning.drift.drift import learn_drift
from faultnet.learning.imagined.cases import ImaginedCases, recipe
from faultnet.learning.minutes.minutes import learn_minutes
from faultnet.learning.newcomers.newcomers import learn_newcomers
from faultnet.learning.regions.regions import learn_regions
from faultnet.learning.source import CasesAtHand
from faultnet.sharing.sharing import Here

SYSTEM = "jet-pump-cistern"
LEFT_OUT = "foot-valve-leaks-slowly"


def main() -> None:
    """Print cases a second, and what was found."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    knowledge = load(shipped_folder())
    truth = truth_of(str(shipped_folder()), SYSTEM, missing=(LEFT_OUT,))
    parts = ImaginedCases(recipe(truth, seed=5), count).parts()
    cases = CasesAtHand(tuple(case for part in parts for case in part.read().cases))

    def timed(name: str, learn: Callable[..., Any]) -> Any:
        start = time.process_time()
        found = learn(knowledge, cases, Here())
        click.echo(f"{name}: {count / (time.process_time() - start):,.0f} cases a second")
        return found

    proposed = timed("minutes", learn_minutes).proposed
    off = sum(not p.interval.low <= p.number.value <= p.interval.high for p in proposed)
    click.echo(f"  {off} of {len(proposed)} intervals of 90 per cent do not hold the true number")
    drifts = timed("drift", learn_drift)
    click.echo(f"  {len(drifts.found)} of {drifts.tests} tests told")
    regions = timed("regions", learn_regions)
    click.echo(f"  {len(regions.numbers)} of {regions.looked_at} numbers told")
    newcomers = timed("newcomers", learn_newcomers)
    words = [", ".join(each.words) for each in newcomers.found]
    click.echo(f"  left out: {LEFT_OUT}; of {newcomers.unlisted} sightings: {'; '.join(words)}")


if __name__ == "__main__":
    main()
