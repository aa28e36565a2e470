"""A few seconds of the load: nothing that was acknowledged may be lost or kept twice."""

from tests.bench.running import told_by

SHORT = ("--minutes", "0.08", "--browsers", "4", "--pause", "0.2", "--rounds", "0")


def test_nothing_is_lost():
    assert "wrong: 0" in told_by("load.py", *SHORT, "--accounts", "1")
