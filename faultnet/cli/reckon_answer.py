"""How the answer of a calculator looks, on the screen and as JSON."""

from typing import Any

from faultnet.cli.screen import Screen
from faultnet.reckon.answer import FINELY_READ, Figure, rounded
from faultnet.reckon.between import Between
from faultnet.reckon.calculator import Reckoned

NARROW = 60
"""Below this width a figure stands under its title, not beside it."""


def text(screen: Screen, reckoned: Reckoned) -> list[str]:
    """Return an answer as lines: figures, what they mean, cautions, where they come from."""
    answer = reckoned.answer
    lines = _figures(screen, answer.figures)
    if answer.says:
        lines.append("")
    for each in answer.says:
        lines += screen.wrap(each)
    if answer.cautions:
        lines.append("")
    for each in answer.cautions:
        first, *others = screen.wrap(each, 2, "!")
        lines += [screen.alarm("!") + first[1:], *others]
    if reckoned.taken_for_granted:
        lines += ["", *screen.wrap("Taken for granted:")]
    for each in reckoned.taken_for_granted:
        lines += screen.wrap(each, 2)
    lines += ["", *map(screen.dim, screen.wrap(answer.formula, 9, "Formula:"))]
    return [*lines, *map(screen.dim, screen.wrap("; ".join(answer.sources), 9, "Source:"))]


def shape(name: str, reckoned: Reckoned) -> dict[str, Any]:
    """Return an answer for JSON; low and high are the same where a figure is known."""
    answer = reckoned.answer
    return {
        "calculator": name,
        "told": reckoned.told,
        "assumed": list(reckoned.taken_for_granted),
        "figures": [
            {
                "id": each.id,
                "title": each.title,
                "values": [
                    {"unit": unit, "low": span.low, "high": span.high}
                    for unit, span in each.in_both()
                ],
            }
            for each in answer.figures
        ],
        "says": list(answer.says),
        "cautions": list(answer.cautions),
        "formula": answer.formula,
        "sources": list(answer.sources),
    }


def _figures(screen: Screen, figures: tuple[Figure, ...]) -> list[str]:
    if screen.width < NARROW:
        lines = []
        for each in figures:
            lines += screen.wrap(each.title) + [screen.bold(line) for line in _value(screen, each)]
        return lines
    width = max(len(each.title) for each in figures) + 2
    return [each.title.ljust(width) + screen.bold(_said(each)) for each in figures]


def _value(screen: Screen, figure: Figure) -> list[str]:
    return screen.wrap(_said(figure), 2, "")


def _said(figure: Figure) -> str:
    first, *others = (f"{_span(span, unit)} {unit}".rstrip() for unit, span in figure.in_both())
    return first + "".join(f" ({other})" for other in others)


def _span(span: Between, unit: str) -> str:
    low, high = (rounded(each, FINELY_READ.get(unit, 3)) for each in span)
    return low if span.known else f"{low} to {high}"
