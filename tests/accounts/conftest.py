"""A store in each kind of database, and somebody with an account."""

import pytest

from faultnet.accounts import register
from tests.accounts.people import NOON, PHRASE
from tests.cases.conftest import server, store, where

__all__ = ["server", "store", "where"]


@pytest.fixture
def anna(store):
    return register.add(store, "anna", "technician", PHRASE, NOON)
