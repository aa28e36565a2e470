"""Facts about the whole knowledge: what shows only when everything is weighed together."""

from faultnet.advice.subject import make_subject
from faultnet.authoring.problem import Problem, in_order, warning
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy
from faultnet.model.system import System
from faultnet.review.facts.alone import Alone
from faultnet.review.facts.conditions import never_holding
from faultnet.review.facts.layouts import layouts
from faultnet.review.facts.links import idle
from faultnet.review.facts.moving import unmoving
from faultnet.review.facts.parting import unparted
from faultnet.review.facts.raising import nowhere, unraised
from faultnet.review.facts.repairs import dearer
from faultnet.review.facts.sums import how_often, leaks
from faultnet.review.facts.told import Told
from faultnet.review.facts.worth import never_worth


def facts(knowledge: Knowledge, examples: tuple[Example, ...]) -> tuple[Problem, ...]:
    """Return the warnings about knowledge without errors and its cases, by file and line."""
    told, alone, refused = _weighed(knowledge)
    named = NamedBy(knowledge)
    found = [*refused, *never_holding(knowledge), *dearer(knowledge, told), *leaks(named)]
    found += unraised(told)
    if not refused:  # these speak of every system there is
        found += [*nowhere(knowledge, told), *layouts(named, told), *how_often(named, told)]
        found += [*unmoving(named, told), *never_worth(named, told, examples)]
    pairs: set[frozenset[str]] = set()
    links: set[tuple[str, str]] = set()
    for each, only in zip(told, alone, strict=True):
        found += [*unparted(each, only, pairs), *idle(each.subject, only, links)]
    return in_order(found)


def _weighed(knowledge: Knowledge) -> tuple[list[Told], list[Alone], list[Problem]]:
    """The systems weighed in both ways; of one that is too large a warning instead."""
    told: list[Told] = []
    alone: list[Alone] = []
    refused: list[Problem] = []
    for system in knowledge.systems.values():
        try:
            subject = make_subject(knowledge, system.id)
            each, only = Told(subject), Alone(subject)
            _ = each.often, each.causes, only.shown
        except TooLargeError as error:
            refused.append(_too_large(system, error))
        except ImpossibleEvidenceError:
            continue  # nothing can be wrong in it, so nothing can be weighed
        else:
            told.append(each)
            alone.append(only)
    return told, alone, refused


def _too_large(system: System, error: TooLargeError) -> Problem:
    return warning(
        "facts-not-weighed",
        system.id,
        system.origin,
        f"The system is too large to be weighed as a whole ({error.cells:,} cells, the limit is "
        f"{error.limit:,}), so what holds only of the whole is not told of it.",
        "Take conditions on the layout, or circumstances, away from causes that share findings.",
    )
