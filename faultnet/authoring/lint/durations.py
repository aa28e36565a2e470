"""Minutes, pounds and tries that a text names, held against the number beside it."""

import re
from collections.abc import Iterator, Sequence

from faultnet.authoring.problem import Problem, warning
from faultnet.model.check import Check, Work
from faultnet.model.knowledge import Knowledge
from faultnet.model.procedure import Step
from faultnet.model.repair import Repair

_SAID = {
    "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0, "seven": 7.0,
    "eight": 8.0, "nine": 9.0, "ten": 10.0, "fifteen": 15.0, "twenty": 20.0, "thirty": 30.0,
}  # fmt: skip
_NUMBER = rf"(?:\d+(?:\.\d+)?|{'|'.join(_SAID)})"
_UNITS = {
    "minutes": "minutes?",
    "hours": "hours?",
    "seconds": "seconds?",
    "psi": "psi",
    "tries": "tries|try",
    "times": "times",
}
_NAMED = {
    unit: re.compile(
        rf"\b({_NUMBER})(?:\s+(?:to|or)\s+({_NUMBER}))?\s+(?:{names})\b", re.IGNORECASE
    )
    for unit, names in _UNITS.items()
}


def durations(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield limits that their own step does not name, and work that outlasts its minutes."""
    for procedure in knowledge.procedures.values():
        for step in procedure.steps:
            for message, hint in _other_limits(step):
                yield warning("text-against-number", procedure.id, procedure.origin, message, hint)
    jobs: tuple[Check | Repair, ...] = (*knowledge.checks.values(), *knowledge.repairs.values())
    for job in jobs:
        for message, hint in _longer(job.work):
            yield warning("text-against-number", job.id, job.origin, message, hint)


def _other_limits(step: Step) -> Iterator[tuple[str, str]]:
    for unit, limit in step.limit.items():
        said = _numbers_in((step.do, step.stop_when), unit)
        if said and limit.value not in said:
            message = f"The step says {said[0]:g} {unit}, its limit {limit.value:g}: "
            yield f'{message}"{step.do[:40]} ...".', "Change the one that is wrong."


def _longer(work: Work) -> Iterator[tuple[str, str]]:
    whole = work.minutes.value + work.waiting.value
    longest = max(_numbers_in(work.steps, "minutes"), default=0.0)
    if longest > whole:
        message = f"A step takes {longest:g} minutes, but `minutes` and `waiting` come to {whole:g}"
        yield f"{message}.", "Add the wait under `waiting`, or change the step."


def _numbers_in(texts: Sequence[str], unit: str) -> list[float]:
    """Return the numbers of a unit that texts name; of a range both ends."""
    named = _NAMED.get(unit)
    if named is None:
        return []
    ends = (end for text in texts for found in named.finditer(text) for end in found.groups())
    return [_SAID[end.lower()] if end.lower() in _SAID else float(end) for end in ends if end]
