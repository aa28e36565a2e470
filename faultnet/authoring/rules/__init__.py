"""Check: rules that look at more than one entry, or at the safety of one."""

from faultnet.authoring.problem import Problem
from faultnet.authoring.rules.chains import chains
from faultnet.authoring.rules.entries import entries
from faultnet.authoring.rules.renamed import renamed
from faultnet.authoring.rules.safe_work import safe_work
from faultnet.authoring.rules.stock import stock
from faultnet.model.knowledge import Knowledge


def check(knowledge: Knowledge, *, whole: bool) -> tuple[Problem, ...]:
    """Return what breaks a rule; entries that were refused are passed over.

    ``whole`` is False when a file could not be read: then nothing is said to be missing.
    """
    lasting = (*chains(knowledge), *safe_work(knowledge))
    missing = (*entries(knowledge), *stock(knowledge), *renamed(knowledge)) if whole else ()
    return (*lasting, *missing)
