"""Rows of figures: side by side where there is room, below each other where not."""

from collections.abc import Sequence
from textwrap import wrap

from faultnet.cli.screen import Screen

LEAST = 20
"""Columns that a name must have beside the figures."""
GAP = 2


def columns(
    screen: Screen, heads: Sequence[str], rows: Sequence[tuple[str, Sequence[str]]]
) -> list[str]:
    """Return rows of a name and figures; ``heads`` stand above the figures.

    A figure that is empty is left out where figures stand below each other.
    """
    widths = [
        max(map(len, (head, *(figures[k] for _, figures in rows)))) for k, head in enumerate(heads)
    ]
    room = screen.width - sum(widths) - GAP * len(widths)
    longest = max((len(label) for label, _ in rows), default=0)
    if room < min(longest, LEAST):
        return _below(screen, heads, rows)
    name = min(room, longest)
    lines = [screen.dim(_line("", heads, name, widths))] if any(heads) else []
    for label, figures in rows:
        indent = len(label) - len(label.lstrip())
        *before, last = wrap(
            label.strip(), name, initial_indent=label[:indent], subsequent_indent="  "
        )
        lines += [*before, _line(last, figures, name, widths)]
    return lines


def _line(label: str, figures: Sequence[str], name: int, widths: Sequence[int]) -> str:
    told = (" " * GAP + figure.rjust(width) for figure, width in zip(figures, widths, strict=True))
    return (label.ljust(name) + "".join(told)).rstrip()


def _below(
    screen: Screen, heads: Sequence[str], rows: Sequence[tuple[str, Sequence[str]]]
) -> list[str]:
    lines: list[str] = []
    for label, figures in rows:
        lines += screen.wrap(label.strip())
        for head, figure in zip(heads, figures, strict=True):
            if figure:
                told = f"{head}: {figure}" if head else figure
                lines += map(screen.dim, screen.wrap(told, 4, "  "))
    return lines
