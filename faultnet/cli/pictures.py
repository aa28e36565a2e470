"""Small pictures of what is around each cause, for whatever shows causes."""

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from faultnet.drawing.network.graph import Graph
    from faultnet.model.cause import Cause
    from faultnet.model.knowledge import Knowledge
    from faultnet.model.system import System
    from faultnet.writing.document import Picture


def pictures(
    knowledge: "Knowledge", system: "System | None", *, inside: bool
) -> "Callable[[Cause], Picture | None]":
    """Return what draws a cause in a system, or in the first that can have it.

    ``inside`` a page a picture takes its style from there; else it stands by itself.
    """
    from faultnet.drawing.network.cut import around
    from faultnet.drawing.network.gathered import whole
    from faultnet.drawing.network.svg import svg, svg_inside
    from faultnet.writing.document import Picture

    systems = [system] if system else list(knowledge.systems.values())

    @cache
    def network(name: str) -> "Graph":
        return whole(knowledge, knowledge.systems[name])

    def drawn(cause: "Cause") -> "Picture | None":
        for each in systems:
            graph = network(each.id)
            if any(node.id == f"cause:{cause.id}" for node in graph.nodes):
                near = around(graph, cause.id, others=False)
                picture = svg_inside(near, f"p-{cause.id}") if inside else svg(near)
                return Picture(cause.id, picture, near.title)
        return None

    return drawn
