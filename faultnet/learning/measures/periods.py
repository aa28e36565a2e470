"""Months put together to quarters or years."""

from collections.abc import Callable
from typing import Literal

from faultnet.learning.measures.sums import Group
from faultnet.learning.measures.times import ByName

Period = Literal["month", "quarter", "year"]


def by_period(months: ByName[Group], period: Period) -> dict[str, Group]:
    """Return the sums of each period that holds any case, the first period first."""
    found: ByName[Group] = ByName()
    for month in sorted(months.of):
        found += ByName({_NAMES[period](month): months.of[month]})
    return dict(found.of)


def _quarter(month: str) -> str:
    return f"{month[:4]}-Q{(int(month[5:]) + 2) // 3}"


_NAMES: dict[Period, Callable[[str], str]] = {
    "month": str,
    "quarter": _quarter,
    "year": lambda month: month[:4],
}
