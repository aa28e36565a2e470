"""Measure what looking further ahead gains on the shipped knowledge.

Run ``python bench/ahead.py``. For some complaints at a jet pump on a cistern it prints the
expected minutes of the step advised one step ahead, and of the plan found in some seconds.
"""

import argparse

import click

from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.model.evidence import Answer, Evidence, Round

SYSTEM = "jet-pump-cistern"
COMPLAINTS: tuple[dict[str, str], ...] = (
    {"never-shuts-off": "yes", "gauge-falls-isolated": "yes"},
    {"no-water": "yes"},
    {"no-pressure-build": "yes", "prime-level-falls": "quickly"},
    {"weak-taps": "yes", "air-at-taps": "yes"},
    {"motor-hums": "yes"},
    {},
)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, nargs="+", default=[1.0, 3.0, 10.0])
    seconds = parser.parse_args().seconds
    subject = make_subject(load(shipped_folder()), SYSTEM)
    click.echo(f"{'':<40}{'one step':>10}" + "".join(f"{s:>8g} s" for s in seconds))
    for answers in COMPLAINTS:
        said = tuple(Answer(finding, answer) for finding, answer in answers.items())
        evidence = Evidence((Round(said),), made_safe=tuple(answers))
        plans = [next_steps(subject, evidence, seconds=s).plan for s in seconds]
        found = [plan for plan in plans if plan is not None]
        name = ", ".join(answers) or "nothing said"
        columns = "".join(f"{p.expected:>7.0f} {p.examined:>2}" for p in found)
        click.echo(f"{name:<40}{found[0].one_step:>10.0f}{columns}")
    click.echo("Minutes expected; beside them the positions looked into.")


if __name__ == "__main__":
    main()
