"""A figure that is known only to lie between two others."""

from typing import NamedTuple


class Between(NamedTuple):
    """The least and the greatest that a figure can be; both the same where it is known."""

    low: float
    high: float

    def times(self, factor: float) -> "Between":
        """Return both ends times a factor that is not negative."""
        return Between(self.low * factor, self.high * factor)

    @property
    def known(self) -> bool:
        """Whether it is one figure."""
        return self.low == self.high
