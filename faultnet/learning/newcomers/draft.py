"""A newcomer as answers for `faultnet add cause`, for the author to finish."""

from collections import Counter

from faultnet.authoring.names import kebab
from faultnet.learning.newcomers.newcomers import Newcomer, Strength
from faultnet.learning.proposed import Interval
from faultnet.model.knowledge import Knowledge

TO_NAME = "name-the-repair"
"""Stands where the author must name a repair; no file has it."""


def draft(newcomer: Newcomer, knowledge: Knowledge) -> str:
    """Return the text of a file of answers; what the author must finish says so.

    Numbers are of the cases, and marked as judgement until somebody looked at them.
    """
    months = list(newcomer.months)
    seen = f"{newcomer.sightings} sightings from {months[0]} to {months[-1]}"
    return "\n".join(
        [
            f"# Drafted from {seen}, called: {', '.join(newcomer.words)}.",
            f"# Cases: {', '.join(newcomer.cases)}.",
            "# Finish the title and the repair; look at every number; then faultnet add cause.",
            f"part: {_part(newcomer, knowledge)}",
            f"id: {kebab(' '.join(newcomer.words[:3]))}",
            f"title: '{' '.join(newcomer.words[:3]).capitalize()} (write what it is)'",
            f"how-common: {newcomer.share:.2g}  # {_range(newcomer.interval)}",
            "from: judgement",
            *_shows(newcomer),
            f"repair: {TO_NAME}  # a repair that is there, or a new one below `repairs`",
            "",
        ]
    )


def said(newcomer: Newcomer, knowledge: Knowledge) -> str:
    """Return what was found, in words."""
    low, high = newcomer.interval.low, newcomer.interval.high
    marks = "; ".join(
        f"{_title(mark.name, knowledge)} in {mark.held} of {mark.told}"
        f" (else {mark.others_held} of {mark.others_told})"
        for mark in newcomer.marks[:4]
    )
    months = list(newcomer.months)
    return (
        f"{', '.join(newcomer.words)}: {newcomer.sightings} sightings from {months[0]} to "
        f"{months[-1]}, {newcomer.share:.1%} of calls ({low:.1%} to {high:.1%}). "
        f"Marked by: {marks or 'nothing by itself, but by several answers together'}."
    )


def _shows(newcomer: Newcomer) -> list[str]:
    if not newcomer.strengths:
        return ["shows: {}  # name a finding that it brings about"]
    return ["shows:", *map(_strength, newcomer.strengths)]


def _strength(strength: Strength) -> str:
    by_answer = strength.by_answer
    if len(by_answer) == 1:
        (value,) = by_answer.values()
        written = f"{value:.2g}"
    else:
        written = "{" + ", ".join(f"{a}: {v:.2g}" for a, v in by_answer.items()) + "}"
    told = f"{_range(strength.interval)}, asked in {strength.asked}"
    return f"  {strength.finding}: {written}  # {told}"


def _part(newcomer: Newcomer, knowledge: Knowledge) -> str:
    """The part of most findings that mark it, else the first part of its system."""
    findings = [m.name for m in newcomer.marks if m.of_finding and m.oftener]
    parts = Counter(knowledge.findings[name].part for name in findings)
    if parts:
        return max(sorted(parts), key=lambda part: parts[part])
    return knowledge.systems[newcomer.systems[0]].parts[0]


def _title(name: str, knowledge: Knowledge) -> str:
    entry = knowledge.findings.get(name) or knowledge.circumstances.get(name)
    return entry.title if entry else name


def _range(interval: Interval) -> str:
    return f"{interval.low:.2g} to {interval.high:.2g}"
