"""Seconds of the processor that a call takes under each policy.

Run `python bench/trials.py CALLS [POLICY ...]`, on a quiet machine. Prints a row per policy.
"""

import sys
import time

import click

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.learning.trials.call import run_call
from faultnet.learning.trials.policies.named import POLICIES, policy_of

SYSTEM = "jet-pump-cistern"


def main(calls: int, names: list[str]) -> None:
    """Print the table."""
    subject = make_subject(load(shipped_folder()), SYSTEM)
    click.echo("| policy | seconds a call | minutes | steps | trips | left out |")
    click.echo("|---|---|---|---|---|---|")
    for name in names:
        policy, start = policy_of(name), time.process_time()
        done = [run_call(policy, subject, subject, 1, n) for n in range(calls)]
        seconds = (time.process_time() - start) / calls
        figures = [
            sum(values) / calls
            for values in zip(
                *((o.minutes, len(o.steps), o.trips, o.left_out) for o in done), strict=True
            )
        ]
        row = " | ".join(f"{figure:.2f}" for figure in figures)
        click.echo(f"| {name} | {seconds:.2f} | {row} |")


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2:] or list(POLICIES))
