"""A trial as text."""

from collections.abc import Iterator

from faultnet.advice.subject import Subject
from faultnet.cli.screen import Screen, percent
from faultnet.shapes.trial import AgainstShape, MeanShape, PolicyShape, TrialShape

COMPLAINTS = 8
"""Complaints told of on the screen; JSON has all."""


def text(screen: Screen, subject: Subject, shape: TrialShape) -> list[str]:
    """Return a trial as lines."""
    kind = "recorded" if shape.replayed else "imagined"
    title = f"{subject.system.title}: {shape.calls} {kind} calls, seed {shape.seed}"
    lines = [*map(screen.bold, screen.wrap(title))]
    for reason, count in shape.set_aside.items():
        lines += screen.wrap(f"Set aside: {count}. {reason}")
    for policy in shape.policies:
        lines += ["", *_policy(screen, policy)]
    for each in shape.against:
        lines += ["", *_against(screen, each)]
    if shape.complaints:
        lines += [
            "",
            screen.bold("Mean minutes by complaint"),
            *_complaints(screen, subject, shape),
        ]
    note = (
        "In brackets: 95 % intervals, by drawing the calls again. Who drives, refuses and fetches "
        "what is partly judgement: docs/trial.md."
    )
    return [*lines, "", *map(screen.dim, screen.wrap(note))]


def _policy(screen: Screen, policy: PolicyShape) -> Iterator[str]:
    means = policy.means
    yield from map(screen.bold, screen.wrap(f"{policy.policy}: {policy.about}", 2))
    yield from screen.wrap(f"{_span(means['minutes'])} minutes a call", 2, "  ")
    shares = [
        f"{means['steps'].mean:.1f} steps",
        f"{means['trips'].mean:.2f} trips",
        f"second trip {percent(means['second_trip'].mean).strip()}",
        f"specialist {percent(means['specialist'].mean).strip()}",
        f"mended at the first visit {percent(means['first_visit'].mean).strip()}",
        f"by phone {percent(means['by_phone'].mean).strip()}",
    ]
    yield from screen.wrap(", ".join(shares), 2, "  ")
    safe = means["made_safe"].mean
    if safe:
        yield from screen.wrap(f"dangers made safe first: {safe:.2f} a call", 2, "  ")
    if means["barred"].mean:
        told = f"steps barred, being not theirs to do: {means['barred'].mean:.2f} a call"
        yield from screen.wrap(told, 2, "  ")
    if means["left_out"].mean:
        told = f"answers left out as too much at once: {means['left_out'].mean:.2f} a call"
        yield from screen.wrap(told, 2, "  ")


def _against(screen: Screen, each: AgainstShape) -> Iterator[str]:
    yield from map(screen.bold, screen.wrap(f"{each.policy} less {each.against}, call by call", 2))
    found = each.differences
    yield from screen.wrap(f"{_span(found['minutes'], '+')} minutes", 2, "  ")
    yield from screen.wrap(f"{_span(found['second_trip'], '+', 100)} second trips in 100", 2, "  ")
    yield from screen.wrap(f"{_span(found['specialist'], '+', 100)} specialists in 100", 2, "  ")


def _complaints(screen: Screen, subject: Subject, shape: TrialShape) -> Iterator[str]:
    findings = subject.knowledge.findings
    for each in shape.complaints[:COMPLAINTS]:
        yield from screen.wrap(f"{findings[each.complaint].title} ({each.calls})", 4, "  ")
        told = ", ".join(f"{name} {minutes:.0f}" for name, minutes in each.minutes.items())
        yield from screen.wrap(told, 6, "      ")
    left = len(shape.complaints) - COMPLAINTS
    if left > 0:
        yield from screen.wrap(f"and {left} more; --json has all.", 2, "  ")


def _span(mean: MeanShape, sign: str = "", times: float = 1.0) -> str:
    low, middle, high = (f"{x * times:{sign}.0f}" for x in (mean.low, mean.mean, mean.high))
    return f"{middle} [{low} to {high}]"
