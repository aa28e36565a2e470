"""The field cases played through `visit`, beside asking in a fixed order and mending by rank.

Run `python -m tests.outside.field_visits`; it prints the tables that docs/field-visits.md holds.
"""

from collections.abc import Callable
from statistics import fmean, median

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from tests.outside.field_cases import FieldCase, read_field_cases
from tests.outside.field_policies import POLICIES, Run
from tests.outside.field_report import interval
from tests.outside.field_world import world_of

FIGURES: dict[str, Callable[[Run], float]] = {
    "steps until a true cause is known": lambda run: run.steps_known,
    "minutes until a true cause is known": lambda run: run.minutes_known,
    "steps until it is mended": lambda run: len(run.taken),
    "minutes until it is mended": lambda run: run.minutes,
}
"""What is counted of a run; the specialist counts where it comes to that."""

Played = dict[str, list[Run]]
"""Runs by policy, in the order of the cases."""


def play(cases: tuple[FieldCase, ...]) -> Played:
    """Play every case by every policy."""
    knowledge = load(shipped_folder())
    subjects = {case.system: make_subject(knowledge, case.system) for case in cases}
    worlds = [world_of(subjects[case.system], case) for case in cases]
    return {name: [policy(world) for world in worlds] for name, policy in POLICIES.items()}


def report() -> str:
    """Return the tables as markdown."""
    cases = read_field_cases()
    played = play(cases)
    version = load(shipped_folder()).version
    lines = [f"Knowledge {version[:12]}.", "", *_figures(played), "", *_differences(played), ""]
    return "\n".join([*lines, *_table(cases, played)])


def _figures(played: Played) -> list[str]:
    count = len(next(iter(played.values())))
    rows = {
        f"{figure}, {name}": [mean([of(run) for run in runs]) for runs in played.values()]
        for figure, of in FIGURES.items()
        for name, mean in (("mean", fmean), ("median", median))
    }
    mended = [sum(run.mended for run in runs) for runs in played.values()]
    unfit = [sum(bool(run.trouble) for run in runs) for runs in played.values()]
    return [
        *_head(f"{count} cases", list(played)),
        f"| mended without the specialist | {' | '.join(map(str, mended))} |",
        *(f"| {name} | {' | '.join(f'{x:.1f}' for x in row)} |" for name, row in rows.items()),
        f"| cases with answers left out | {' | '.join(map(str, unfit))} |",
    ]


def _differences(played: Played) -> list[str]:
    ours, *others = played
    return [
        *_head(f"{ours} less the other, per case", others),
        *(
            f"| {figure} | {' | '.join(_span(played[ours], played[o], of) for o in others)} |"
            for figure, of in FIGURES.items()
        ),
    ]


def _span(ours: list[Run], other: list[Run], of: Callable[[Run], float]) -> str:
    mean, low, high = interval([of(a) - of(b) for a, b in zip(ours, other, strict=True)])
    return f"{mean:+.1f} ({low:+.1f} to {high:+.1f})"


def _table(cases: tuple[FieldCase, ...], played: Played) -> list[str]:
    rows = zip(cases, *played.values(), strict=True)
    return [
        *_head("case", list(played)),
        *(f"| {case.id} | {' | '.join(map(_cell, runs))} |" for case, *runs in rows),
    ]


def _cell(run: Run) -> str:
    known = "not known" if run.known is None else f"{run.known}: {run.minutes_known:.0f}"
    end = "mended" if run.mended else "specialist"
    return f"{known}; {end} {len(run.taken)}: {run.minutes:.0f}"


def _head(first: str, names: list[str]) -> list[str]:
    return [f"| {first} | {' | '.join(names)} |", f"|{'---|' * (len(names) + 1)}"]


if __name__ == "__main__":
    print(report())  # noqa: T201 the report is what it is run for
