"""What of a network is drawn: all of it, a part, what is around a cause, or a case."""

from collections.abc import Callable, Collection

from msgspec.structs import replace

from faultnet.drawing.network.graph import Edge, Graph, LeftOut, Node

CUT = ("shows", "follows")
"""Kinds of edges that are left out where they are weak."""

WHOLE, PART, AROUND, CASE = 0.5, 0.2, 0.5, 0.5
"""The weakest strength that is drawn, where nobody chooses."""

LIKELIEST = 15
"""Causes of a case that are drawn, where nobody chooses."""


def of_system(graph: Graph, weakest: float = WHOLE, *, looks: bool = False) -> Graph:
    """Return all causes and findings of a system with their stronger links."""
    kept = {n.id for n in graph.nodes if n.kind != "check" and (looks or not n.look)}
    out = sum(node.look for node in graph.nodes) if not looks else 0
    edges = [e for e in graph.edges if e.kind != "alike" and {e.source, e.target} <= kept]
    return _cut(graph, kept, edges, weakest, LeftOut(looks=out))


def of_part(graph: Graph, part: str, weakest: float = PART, *, looks: bool = False) -> Graph:
    """Return the causes and findings of a part with all that they are linked to."""
    mine = {
        node.id
        for node in graph.nodes
        if node.group in {f"cause:{part}", f"finding:{part}"} and (looks or not node.look)
    }
    drawn = {n.id for n in graph.nodes if n.kind != "check" and (looks or not n.look)}
    out = sum(n.look and n.group == f"finding:{part}" for n in graph.nodes) if not looks else 0
    edges = [
        e for e in graph.edges if {e.source, e.target} <= drawn and {e.source, e.target} & mine
    ]
    edges = [e for e in edges if e.kind != "alike" or {e.source, e.target} <= mine]
    titles = {group.id.partition(":")[2]: group.title for group in graph.groups}
    focus = replace(graph, title=f"{titles.get(part, part)}: {graph.about}")
    return _cut(focus, mine, edges, weakest, LeftOut(looks=out))


def around(graph: Graph, cause: str, weakest: float = AROUND, *, others: bool = True) -> Graph:
    """Return a cause with its signs, their other causes, its chains and its checks.

    All links of the cause itself are kept, however weak. Without ``others`` the other causes
    of its signs are left out, and of the checks those are kept that look for the cause.
    """
    centre = f"cause:{cause}"
    own = [e for e in graph.edges if centre in {e.source, e.target}]
    signs = {edge.target for edge in own if edge.kind == "shows"}
    look = {node.id for node in graph.nodes if node.look}
    rest = [
        e
        for e in graph.edges
        if e not in own
        and {e.source, e.target} & signs
        and not ({e.source, e.target} & look and e.kind == "shows")
        and (others or (e.kind == "reveals" and e.source in look))
    ]
    nodes = tuple(replace(node, focus=node.id == centre) for node in graph.nodes)
    title = next(node.title for node in nodes if node.focus)
    focus = replace(graph, nodes=nodes, title=f"{title}: {graph.about}")
    return _cut(focus, {centre, *signs}, [*own, *rest], weakest, LeftOut(), lambda e: e in own)


def of_case(
    graph: Graph, weakest: float = CASE, likeliest: int = LIKELIEST, *, looks: bool = False
) -> Graph:
    """Return the likeliest causes of a case that was marked, their findings, and what was told."""
    told = {node.id for node in graph.nodes if node.told}
    beliefs = [node for node in graph.nodes if node.belief is not None]
    ranked = sorted(beliefs, key=lambda n: (-(n.belief or 0.0), n.id))
    causes = {node.id for node in ranked[:likeliest]}
    looked = {node.id for node in graph.nodes if node.look and (looks or node.id in told)}
    skipped = {node.id for node in graph.nodes if node.look} - looked
    edges = [
        e
        for e in graph.edges
        if e.source not in skipped
        and e.target not in skipped
        and e.kind not in {"reveals", "alike"}
        and ((e.source in causes and not e.target.startswith("cause:")) or e.target in causes)
        and (not e.source.startswith("cause:") or e.source in causes)
        and (not e.source.startswith("root:") or e.source in told)
    ]
    edges += [e for e in graph.edges if {e.source, e.target} <= told and e not in edges]
    left = LeftOut(causes=len(ranked) - len(causes))
    named = replace(graph, title=f"What was told, and what is likely: {graph.about}")
    return _cut(named, {*causes, *told}, edges, weakest, left, lambda e: e.target in told)


def _never(_: Edge) -> bool:
    return False


def _cut(
    graph: Graph,
    nodes: Collection[str],
    edges: list[Edge],
    weakest: float,
    left: LeftOut,
    always: Callable[[Edge], bool] = _never,
) -> Graph:
    """Keep nodes, edges that are strong enough, and what they lead to."""

    def strong(edge: Edge) -> bool:
        weak = edge.kind in CUT and edge.strength is not None and edge.strength < weakest
        return not weak or always(edge)

    kept = [edge for edge in edges if strong(edge)]
    ends = {end for edge in kept for end in (edge.source, edge.target)}
    drawn: list[Node] = [n for n in graph.nodes if n.id in nodes or n.id in ends]
    told = [f"{n.title}: {n.told}" for n in graph.nodes if n.told and n not in drawn]
    beyond = (f"Told, and not in this picture: {'; '.join(told)}.",) if told else ()
    groups = {node.group for node in drawn}
    return replace(
        graph,
        groups=tuple(group for group in graph.groups if group.id in groups),
        nodes=tuple(drawn),
        edges=tuple(kept),
        left_out=replace(left, links=len(edges) - len(kept)),
        weakest=weakest,
        notes=(*graph.notes, *beyond),
    )
