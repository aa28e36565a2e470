"""Repairs that cost as much as the specialist, so that handing over is never dearer."""

from collections.abc import Iterator, Sequence

from faultnet.advice.site import Prices
from faultnet.authoring.problem import Problem, warning
from faultnet.model.knowledge import Knowledge
from faultnet.review.facts.told import Told


def dearer(knowledge: Knowledge, all_told: Sequence[Told]) -> Iterator[Problem]:
    """Yield the repairs that are dearer than the specialist wherever they mend anything.

    Proved: a repair costs its whole price, and the specialist's stands for what is left. So
    with its set-ups made already no repair that costs more than the specialist comes out
    cheaper. What the specialist does is handed over anyway, and passed over.
    """
    prices = Prices(knowledge)
    for repair in knowledge.repairs.values():
        costs = [
            told.subject.system.specialist.minutes.value
            for told in all_told
            if repair.id in told.subject.mended_by
        ]
        minutes = prices.bare(repair)
        if costs and minutes >= max(costs) and repair.work.who != "specialist":
            yield warning(
                "repair-dearer-than-specialist",
                repair.id,
                repair.origin,
                f"With its set-ups made it takes {minutes:g} min, and the specialist "
                f"{max(costs):g} min, so handing over is never dearer.",
                "Look at its minutes, waiting and proof, or at `specialist` of the system.",
            )
