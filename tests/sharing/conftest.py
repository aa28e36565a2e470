"""A cluster of two processes on this machine, and a server for closed cases."""

import pytest

from faultnet.sharing.cluster import OnCluster
from tests.cases.conftest import server

__all__ = ["server"]

BARE = {
    "host": "127.0.0.1",
    "dashboard_address": "127.0.0.1:0",
    "worker_dashboard_address": None,
    "threads_per_worker": 1,
    "silence_logs": 50,
}
"""On loopback, at ports that are free, and quiet."""


@pytest.fixture(scope="module")
def cluster():
    """Two processes."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(n_workers=2, processes=True, **BARE) as running:
        yield running


@pytest.fixture(scope="module")
def connection(cluster):
    with OnCluster(cluster.scheduler_address) as sharing:
        yield sharing


@pytest.fixture
def on_two(connection):
    """Both workers; one that was killed by a test before is there again."""
    connection._connection().wait_for_workers(2, timeout=30)
    return connection
