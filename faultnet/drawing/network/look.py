"""How the parts of the picture look: on a screen by day and night, and in black on paper."""

STROKES = {
    "shows": ("", "end"),
    "follows": ("7 3", "end"),
    "hides": ("5 2 1 2", "bar"),
    "needs": ("1 3", "end"),
    "leads": ("12 3 3 3", "end"),
    "advice": ("3 5", "end"),
    "alike": ("2 2", ""),
    "tips": ("12 5", "end"),
    "reveals": ("", "dot"),
}
"""Kind of edge to the pattern of its line and the mark at its end; colour says nothing alone."""

TONES = ("#17456b", "#7a3b12", "#2c5e2e", "#6b2566", "#5b5200", "#1d5a5a")
"""One for each group in turn: dark enough on paper, apart from one another on a screen."""

STYLE = """
.net { background: #fff; color: #111; font-size: 11px;
  font-family: "DejaVu Sans Condensed", "Liberation Sans Narrow", Arial, Helvetica, sans-serif; }
.net text { fill: #111; }
.net .head { font-weight: bold; }
.net .title { font-size: 17px; font-weight: bold; }
.net .loud { font-weight: bold; }
.net .box { fill: #fff; stroke: #444; stroke-width: 1; }
.net .finding .box { rx: 6px; }
.net .root .box { stroke-dasharray: 3 2; }
.net .check .box { stroke-width: 1.8; }
.net .focus .box { stroke-width: 2.6; stroke: #000; }
.net .told .box { stroke-width: 2.6; stroke: #000; fill: #efe9d8; }
.net .told .answer { font-weight: bold; }
.net .alarm { fill: #111; }
.net .belief { fill: #333; }
.net .trough { fill: #fff; stroke: #333; stroke-width: .8; }
.net .shows-no { font-size: 9px; fill: #333; }
.net .edge, .net .sample { fill: none; }
.net .edge { stroke-opacity: .62; }
.net .frame { fill: none; stroke: #111; stroke-width: 3; }
.net a { text-decoration: none; cursor: pointer; }
.net a:focus-visible .box { stroke: #000; stroke-width: 4; }
@media print { .net .edge { stroke-opacity: .75; } }
"""
"""The style of every picture of a network."""


def tones() -> str:
    """Return the style of edges: tone by group."""
    return "\n".join(f".net .t{number} {{ stroke: {tone}; }}" for number, tone in enumerate(TONES))


def pointed(prefix: str, count: int) -> str:
    """Return the style by which a node that is pointed at shows what it is linked to.

    Nothing but the rules of a style sheet is at work; without them all is shown alike.
    """
    at = ":is(:hover, :target, :focus)"
    rules = [
        f".net:has(.node{at}) .edge {{ stroke-opacity: .07; }}",
        f".net:has(.node{at}) .node {{ opacity: .35; }}",
    ]
    for number in range(count):
        name = f"{prefix}{number}"
        rules.append(f".net:has(#{name}{at}) .{name} {{ stroke-opacity: 1; opacity: 1; }}")
    return "\n".join(rules)
