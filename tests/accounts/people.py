"""Who has an account in the tests; all invented."""

from tests.cases.people import NOON

PHRASE = "seven wet boots by the stove"
OTHER = "a ladder leans at the mill"

__all__ = ["NOON", "OTHER", "PHRASE"]
