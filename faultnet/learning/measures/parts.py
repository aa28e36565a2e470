"""Parts: how likely each was to be needed, at the call, and whether it was fitted."""

import numpy as np

from faultnet.advice.outfit import Outfitting
from faultnet.advice.subject import Subject
from faultnet.learning.closed import ClosedCase
from faultnet.learning.measures.grid import Grid, gridded
from faultnet.learning.measures.visits import MENDED
from faultnet.model.evidence import Evidence


def parts_needed(subject: Subject, case: ClosedCase, known: Evidence) -> Grid:
    """Return the chance of each part, on the grid, beside whether it was fitted.

    A part was needed where an item was fitted that serves as it, and a repair that was done
    takes it. Nothing where the trouble did not end with a repair, or a repair that takes parts
    was done and none was noted. Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
    """
    taken = _taken(subject, case)
    if case.ending not in MENDED or taken is None or (taken and not case.parts):
        return Grid()
    fitted = taken & _served(subject, case)
    needs = Outfitting(subject, known, least=0.0).parts
    told = np.array([need.repair for need in needs])
    return gridded(told, np.array([need.id in fitted for need in needs], dtype=bool))


def _taken(subject: Subject, case: ClosedCase) -> set[str] | None:
    """The parts of the repairs that were done; None where none of them stands in the files."""
    names = {each.step for each in case.steps if each.kind == "repair"}
    names.update(name for round_ in case.evidence.rounds for name in round_.repairs)
    repairs = [subject.knowledge.repairs[n] for n in names if n in subject.knowledge.repairs]
    return {part for repair in repairs for part in repair.parts} if repairs else None


def _served(subject: Subject, case: ClosedCase) -> set[str]:
    """What the fitted items serve as."""
    stock = subject.knowledge.stock
    return {
        name
        for item in case.parts
        for name in (item, *(stock[item].provides if item in stock else ()))
    }
