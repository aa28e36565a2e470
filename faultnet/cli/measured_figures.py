"""Figures of measures as they are said."""

from faultnet.shapes.figures import MeanShape, ShareShape

NONE = "-"


def share(found: ShareShape) -> str:
    """Return a share with its range, in per cent."""
    if found.value is None or found.low is None or found.high is None:
        return NONE
    return f"{found.value * 100:.0f} % ({found.low * 100:.0f} to {found.high * 100:.0f})"


def mean(found: MeanShape, digits: int = 2) -> str:
    """Return a mean with its range."""
    if found.value is None:
        return NONE
    if found.low is None or found.high is None:
        return f"{found.value:.{digits}f}"
    return f"{found.value:.{digits}f} ({found.low:.{digits}f} to {found.high:.{digits}f})"


def bare(found: MeanShape, digits: int = 2) -> str:
    """Return a mean alone."""
    return NONE if found.value is None else f"{found.value:.{digits}f}"


def percent(value: float | None, digits: int = 0) -> str:
    """Return a share or a chance in per cent."""
    return NONE if value is None else f"{value * 100:.{digits}f} %"
