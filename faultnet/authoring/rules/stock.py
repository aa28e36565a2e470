"""What can be loaded, and what must be arranged, is what some repair or check takes."""

from collections.abc import Iterator

from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.problem import Problem, problem
from faultnet.model.knowledge import Knowledge


def stock(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield the parts and tools of the stock and of lead times that nothing takes."""
    taken = {part for each in knowledge.repairs.values() for part in each.parts}
    works = [each.work for each in knowledge.repairs.values()]
    works += [each.work for each in knowledge.checks.values()]
    taken |= {tool for work in works for tool in work.tools}
    named = [(e.id, e.origin, e.provides) for e in knowledge.stock.values()]
    named += [(e.id, e.origin, e.needs) for e in knowledge.lead_times.values()]
    for entity, origin, names in named:
        for name in names:
            if name not in taken:
                message = f"No repair and no check takes a part or tool `{name[:60]}`."
                hint = did_you_mean(name, taken)
                yield problem("unknown-id", origin, message, hint, entity=entity)
