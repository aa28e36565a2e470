"""A small system for cases to be about, and a server where one can be had."""

from tests.cases.conftest import server, small

__all__ = ["server", "small"]
