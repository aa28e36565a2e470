"""A warning for lint: numbers that nobody measured and that several cases hang on.

Slow, as every case is ranked with its slopes: to be asked for.
"""

from collections.abc import Iterable, Iterator, Sequence

from faultnet.authoring.problem import Problem, in_order, warning
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.review.sensitivity.cases import InCase, Worth, look, over_cases
from faultnet.review.sensitivity.doubt import deviation

UNSURE = frozenset({"judgement", "memory"})
"""Provenance of numbers that a colleague may well see otherwise."""
SMALL = 0.5
"""A small change is half of how far such a number may be off: a quarter on the odds."""
SEVERAL = 2
"""Cases that must hang on a number before it is told."""


def on_edge(
    knowledge: Knowledge, examples: Sequence[Example], workers: int = 1
) -> tuple[Problem, ...]:
    """Return a warning for each number whose small change puts another cause first."""
    asked = over_cases(look(knowledge, examples, workers))
    return in_order(_told(asked.cases, asked.worth))


def _told(cases: int, worth: Iterable[Worth]) -> Iterator[Problem]:
    for each in worth:
        number = each.number.number
        near = [c for c in each.cases if c.margin.nearest <= SMALL * deviation(number)]
        if len(near) >= SEVERAL and UNSURE & set(number.provenance):
            yield warning(
                "number-on-edge",
                "",
                number.origin,
                f"{each.number.about}: a small change of {number.value:g} puts another cause "
                f"first in {len(near)} of {cases} cases.",
                f"In {near[0].case} {_moved(near[0])}. Ask a colleague, or find a source.",
            )


def _moved(case: InCase) -> str:
    flip = case.margin.nearest_flip
    return f"at {flip.value:.3g} {flip.first} comes before {case.first}" if flip else ""
