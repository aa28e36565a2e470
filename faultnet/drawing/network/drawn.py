"""A graph in one of its forms; what a form needs is imported when it is written."""

from faultnet.drawing.network.graph import Graph

FORMS = {"svg": (".svg",), "dot": (".dot", ".gv"), "mmd": (".mmd", ".mermaid")}
"""The forms of a picture, each with its suffixes."""


def drawn(graph: Graph, form: str) -> bytes:
    """Return a picture as ``svg``, ``dot`` or ``mmd``.

    Raises ``ImportError`` for ``svg`` where igraph is not installed.
    """
    if form == "svg":
        from faultnet.drawing.network.svg import svg

        return svg(graph).encode()
    if form == "dot":
        from faultnet.drawing.network.dot import dot

        return dot(graph).encode()
    from faultnet.drawing.network.mermaid import mermaid

    return mermaid(graph).encode()
