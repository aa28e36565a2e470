"""Pictures of measures: chances beside what came, minutes beside the clock, places by time.

Drawn by Matplotlib, which is installed only where it is wished for. Everything is black, white
and grey; what belongs together shares a mark, not a colour.
"""

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from faultnet.learning.measures.figures import Share
from faultnet.learning.measures.grid import Bin
from faultnet.learning.measures.periods import Period, by_period
from faultnet.learning.measures.sums import Group, Sums

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.axis import Axis

SIZE = (11.0, 9.0)
"""Inches."""
DOTS = 150
"""Dots to the inch, in PNG."""
FEW = 5
"""Chances, or times of a step, that a mark must stand for."""
FEWEST = 30
"""Cases of a period that is drawn."""
BESIDE = 0.1
"""How far marks of a period stand beside each other."""
LABELS = 12
"""Periods that are named below the axis; of more, some."""

_MARKS: dict[str, dict[str, Any]] = {
    "one": {"marker": "o", "color": "black", "markerfacecolor": "black", "linestyle": "-"},
    "two": {"marker": "s", "color": "0.35", "markerfacecolor": "white", "linestyle": "--"},
    "three": {"marker": "^", "color": "0.55", "markerfacecolor": "0.8", "linestyle": ":"},
}


def drawn(sums: Sums, period: Period, kind: str) -> bytes:
    """Return the picture as ``svg``, ``png`` or ``pdf``.

    Raises ``ModuleNotFoundError`` where Matplotlib is not installed.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(
        {"svg.hashsalt": "faultnet", "svg.fonttype": "none", "font.size": 11, "axes.titlesize": 12}
    ):
        figure = Figure(SIZE, layout="constrained")
        axes = figure.subplots(2, 2)
        figure.suptitle(f"How well it did on {sums.whole.visits.cases} closed cases")
        _causes(axes[0][0], sums)
        _parts(axes[0][1], sums)
        _minutes(axes[1][0], sums)
        _places(axes[1][1], by_period(sums.months, period))
        written = io.BytesIO()
        stamp = {"svg": {"Date": None}, "pdf": {"CreationDate": None}}.get(kind, {})
        figure.savefig(written, format=kind, dpi=DOTS, metadata=stamp)
    return written.getvalue()


def _causes(ax: "Axes", sums: Sums) -> None:
    ax.set_title("Chance told for a cause, and how often it was it")
    details = sums.details
    _reliability(ax, details.at_call.causes.equal_widths(), "one", "at the call")
    _reliability(ax, details.before_repair.causes.equal_widths(), "two", "before the repair")
    _diagonal(ax)


def _parts(ax: "Axes", sums: Sums) -> None:
    ax.set_title("Chance told for a part, and how often it was fitted")
    _reliability(ax, sums.details.parts.equal_widths(), "one", "at the call")
    _diagonal(ax)


def _reliability(ax: "Axes", bins: Sequence[Bin], mark: str, label: str) -> None:
    """Draw bins with their ranges, beside the line on which they would lie if all were right."""
    kept = [each for each in bins if each.came.of >= FEW]
    _ranged(ax, [100 * each.told for each in kept], [each.came for each in kept], mark, label)


def _diagonal(ax: "Axes") -> None:
    ax.plot([0, 100], [0, 100], color="0.7", linewidth=1, zorder=0, label="if all were right")
    ax.set(xlim=(0, 100), ylim=(0, 100), xlabel="told, %", ylabel="came, %")
    ax.legend(loc="upper left", frameon=False)


def _ranged(
    ax: "Axes", at: Sequence[float], shares: Sequence[Share], mark: str, label: str
) -> None:
    """Draw shares in per cent, each with its range."""
    values = [100 * each.value for each in shares]
    ranges = [each.interval for each in shares]
    below = [v - 100 * low for v, (low, _) in zip(values, ranges, strict=True)]
    above = [100 * high - v for v, (_, high) in zip(values, ranges, strict=True)]
    style = _MARKS[mark]
    ax.errorbar(at, values, [below, above], capsize=3, elinewidth=1, label=label, **style)


def _minutes(ax: "Axes", sums: Sums) -> None:
    steps = [each for each in sums.details.steps.each.of.values() if each.predicted.count >= FEW]
    authored = [each.predicted.value for each in steps]
    noted = [each.predicted.value + each.too_long.value for each in steps]
    both = [max(value, 0.5) for value in (*authored, *noted)] or [1.0, 100.0]
    ends = (min(both) / 1.3, max(both) * 1.3)
    ax.plot(ends, ends, color="0.7", linewidth=1, zorder=0, label="as authored")
    ax.plot(authored, noted, linestyle="", marker="o", color="black", markerfacecolor="white")
    ax.set(xscale="log", yscale="log", xlim=ends, ylim=ends)
    ax.set(xlabel="minutes in the files", ylabel="minutes that went by, mean")
    ax.set_title("Minutes of each step")
    for axis in (ax.xaxis, ax.yaxis):
        _plain(axis)
    ax.legend(loc="upper left", frameon=False)


def _plain(axis: "Axis") -> None:
    from matplotlib.ticker import FuncFormatter, LogLocator, NullFormatter

    axis.set_major_locator(LogLocator(10, subs=(1, 2, 5)))
    axis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    axis.set_minor_formatter(NullFormatter())


def _places(ax: "Axes", periods: dict[str, Group]) -> None:
    """The confirmed cause among the first, before the repair, by period."""
    ax.set_title("The cause among the first, before the repair")
    found = {n: g.before_repair.best for n, g in periods.items() if g.visits.cases >= FEWEST}
    at = list(range(len(found)))
    for k, (mark, label, shares) in enumerate(
        (
            ("three", "among the first 5", [top.five for top in found.values()]),
            ("two", "among the first 3", [top.three for top in found.values()]),
            ("one", "first", [top.one for top in found.values()]),
        )
    ):
        _ranged(ax, [place + BESIDE * (k - 1) for place in at], shares, mark, label)
    every = max(1, -(-len(found) // LABELS))
    ax.set_xticks(at[::every], list(found)[::every], rotation=45, ha="right")
    if not found:
        told = f"no stretch of time\nhas {FEWEST} cases"
        ax.text(0.5, 0.5, told, transform=ax.transAxes, ha="center", va="center", color="0.3")
    ax.set(ylim=(0, 100), ylabel="among the first, % of cases")
    ax.legend(loc="lower left", frameon=False, ncols=3, fontsize=9)
