"""What is as good as equal: differences that only come of the order of a sum are none.

Two repairs or causes may be equal by what is authored. Which of them comes first must not hang
on the last digit of a sum, which may differ from machine to machine.
"""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

DIGITS = 12
"""Digits behind the point that are compared of chances."""
OF_MINUTES = 9
"""Digits behind the point that are compared of minutes, which run to thousands."""


def even(chance: float) -> float:
    """Return a chance to compare by."""
    return round(chance, DIGITS)


def even_minutes(minutes: float) -> float:
    """Return minutes to compare by."""
    return round(minutes, OF_MINUTES)


def best_first(values: Array) -> list[int]:
    """Return the places of values, the highest first; among equal ones as they stand."""
    compared = [even(value) for value in values.tolist()]
    return sorted(range(len(compared)), key=lambda k: -compared[k])
