"""The knowledge as shipped."""

from tests.advice.conftest import knowledge

__all__ = ["knowledge"]
