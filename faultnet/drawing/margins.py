"""A picture of how far each number may move: a bar for each, in black and white.

All bars share one scale: by how many times the odds of a chance, or the number itself, is
moved from what is written. A bar ends in a heavy line where another cause comes first, and
in an arrow where nothing changes as far as was looked.
"""

from collections.abc import Iterator, Sequence
from html import escape
from math import exp, log
from textwrap import wrap

from faultnet.review.sensitivity.doubt import spot
from faultnet.review.sensitivity.margin import Flip, Margin

WIDTH = 960
LEFT, RIGHT = 400, 930
TOP, ROW, BAR = 96, 64, 14
MARKS = (2, 3, 5, 10)
ABOUT, BESIDE = 55, 60
"""Letters of a line to the left of the bars, and beside them."""
LINE = 15
DOWN, UP = "\N{DIVISION SIGN}", "\N{MULTIPLICATION SIGN}"
STYLE = (
    "text{font-family:sans-serif;font-size:14px;fill:#000}"
    ".small{font-size:12px;paint-order:stroke;stroke:#fff;stroke-width:4px}.title{font-size:18px;font-weight:bold}"
    ".bar{fill:#ddd;stroke:#000;stroke-width:1}.end{stroke:#000;stroke-width:4}"
    ".written{stroke:#000;stroke-width:2}.grid{stroke:#999;stroke-width:1;stroke-dasharray:2 4}"
)


def picture(title: str, first: str, margins: Sequence[Margin], reach: float) -> str:
    """Return the picture as SVG; ``title`` is of the system, ``first`` of the first cause."""
    height = TOP + ROW * len(margins) + 50
    size = f'viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" height="{height}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img">',
        f"<title>How far each number may move: {escape(title)}</title>",
        f"<style>{STYLE}</style>",
        f'<rect width="{WIDTH}" height="{height}" fill="#fff"/>',
        _text(12, 28, f"How far each number may move: {title}", "title"),
        _text(12, 50, f"First now: {first}"),
        *_scale(reach, height),
    ]
    for row, margin in enumerate(margins):
        lines += _row(TOP + ROW * row, margin, reach)
    told = (
        "Heavy line: another cause comes first. Arrow: no change as far as was looked. "
        "Chances are moved on their odds."
    )
    lines += [_text(12, height - 14, told, "small"), "</svg>"]
    return "\n".join(lines) + "\n"


def _scale(reach: float, height: int) -> Iterator[str]:
    """The marks above the bars, with a line down from each."""
    for mark in (1, *(m for m in MARKS if m <= reach * 1.001)):
        for side in (-1, 1) if mark > 1 else (1,):
            x = _across(side * log(mark), reach)
            told = "as written" if mark == 1 else f"{DOWN if side < 0 else UP} {mark}"
            kind = "written" if mark == 1 else "grid"
            yield _text(x, TOP - 22, told, "small", "middle")
            yield _line(x, TOP - 16, x, height - 36, kind)


def _row(top: float, margin: Margin, reach: float) -> Iterator[str]:
    number = margin.number
    word = f" ({number.number.word})" if number.number.word else ""
    rests = ", ".join(number.number.provenance)
    lines = wrap(number.about, ABOUT, break_on_hyphens=False)[:2]
    for k, line in enumerate(lines):
        yield _text(12, top + 8 + 16 * k, line)
    told = f"{number.value:g}{word}, {rests}; {number.line}"
    yield _text(12, top + 8 + 16 * len(lines), _cut(told, ABOUT + 8), "small")
    start = spot(number.kind, number.value)
    ends = [
        log(reach) * side if flip is None else spot(number.kind, flip.value) - start
        for flip, side in ((margin.low, -1.0), (margin.high, 1.0))
    ]
    left, right = (_across(end, reach) for end in ends)
    middle = top + 12
    yield (
        f'<rect class="bar" x="{left:.1f}" y="{middle - BAR / 2:.1f}" '
        f'width="{right - left:.1f}" height="{BAR}"/>'
    )
    yield _line(_across(0.0, reach), middle - BAR, _across(0.0, reach), middle + BAR, "written")
    below = middle + BAR + 14
    for x, flip, side in ((left, margin.low, -1), (right, margin.high, 1)):
        yield from _end(x, middle, flip, side)
        if flip is not None:
            way = "down to" if side < 0 else "up to"
            anchor = "end" if x > (LEFT + RIGHT) / 2 else "start"
            told = _cut(f"{way} {flip.value:.3g}: {flip.first}", BESIDE)
            yield _text(x, below, told, "small", anchor)
            below += LINE


def _end(x: float, middle: float, flip: Flip | None, side: int) -> Iterator[str]:
    """A heavy line where another cause comes first, or an arrow."""
    if flip is None:
        tip = x + side * 10
        yield (
            f'<path d="M{x:.1f},{middle - BAR:.1f} L{tip:.1f},{middle:.1f} '
            f'L{x:.1f},{middle + BAR:.1f} Z" fill="#fff" stroke="#000"/>'
        )
        return
    yield _line(x, middle - BAR, x, middle + BAR, "end")


def _across(moved: float, reach: float) -> float:
    """Where a move on the logarithm stands on the page."""
    middle, half = (LEFT + RIGHT) / 2, (RIGHT - LEFT) / 2
    return middle + half * max(-1.0, min(1.0, moved / log(max(reach, exp(0.1)))))


def _text(x: float, y: float, text: str, kind: str = "", anchor: str = "start") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{named} text-anchor="{anchor}">{escape(text)}</text>'


def _line(x: float, y: float, to_x: float, to_y: float, kind: str) -> str:
    return f'<line class="{kind}" x1="{x:.1f}" y1="{y:.1f}" x2="{to_x:.1f}" y2="{to_y:.1f}"/>'


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."
