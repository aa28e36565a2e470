"""How far a sound gauge may be from the truth."""

from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError

GRADES: dict[str, tuple[float, float, float]] = {
    "1A": (1.0, 1.0, 1.0),
    "A": (2.0, 1.0, 2.0),
    "B": (3.0, 2.0, 3.0),
    "C": (4.0, 3.0, 4.0),
}
"""Per cent of the span in the lowest quarter, the middle half and the highest quarter
(ASME B40.100: the outer 2 of grade A seen, all else from memory)."""


def gauge_error_psi(reading_psi: float, span_psi: float, grade: str = "B") -> float:
    """Return how far a reading may be off either way on a gauge of a grade."""
    possible(reading_psi=reading_psi, span_psi=span_psi)
    if grade.upper() not in GRADES:
        raise UnfitNumberError(f"There is no grade `{grade[:10]}` here: {', '.join(GRADES)}.")
    if reading_psi > span_psi:
        raise UnfitNumberError(
            f"A gauge that ends at {span_psi:g} psi cannot read {reading_psi:g} psi. "
            "Give the highest number on the dial."
        )
    low, middle, high = GRADES[grade.upper()]
    part = reading_psi / span_psi
    percent = low if part < 0.25 else high if part > 0.75 else middle
    return span_psi * percent / 100.0


def gauges_agree(one_psi: float, other_psi: float, span_psi: float, grade: str = "B") -> bool:
    """Whether two gauges of one span and grade that differ may both be sound."""
    allowed = gauge_error_psi(one_psi, span_psi, grade) + gauge_error_psi(
        other_psi, span_psi, grade
    )
    return abs(one_psi - other_psi) <= allowed + 1e-9
