"""A run of learning: which cases, from when to when, by what; and the source it becomes."""

from collections.abc import Iterable

import msgspec

from faultnet.authoring.forms.learnt import digest_of
from faultnet.model.knowledge import Knowledge

METHOD = (
    "expectation and maximisation on the network of the system: each number lies between the "
    "one before, which counts for so many cases as stand beside it, and what the cases say"
)
MOST_LISTED = 20_000
"""Cases whose ids are listed; beyond them the digest alone says which they were."""


class Run(msgspec.Struct, frozen=True):
    """The cases that were learnt from: ids in their order, and the days of the first and last."""

    system: str
    cases: tuple[str, ...]
    since: str
    until: str
    method: str = METHOD

    @property
    def digest(self) -> str:
        """What the ids come to."""
        return digest_of(self.cases)


def run_of(system: str, closed: Iterable[tuple[str, str]], method: str = METHOD) -> Run:
    """Return the run over cases, each by its id and the time it was closed (ISO 8601)."""
    found = list(closed)
    days = sorted(when[:10] for _, when in found) or [""]
    return Run(system, tuple(sorted(name for name, _ in found)), days[0], days[-1], method)


def source_of(run: Run, knowledge: Knowledge) -> str:
    """Return the id of the source that the run becomes; the next free one of its month."""
    name = f"closed-cases-{run.until[:7] or 'undated'}"
    taken = {*knowledge.sources, *knowledge.learnt}
    number, told = 2, name
    while told in taken:
        told, number = f"{name}-{number}", number + 1
    return told
