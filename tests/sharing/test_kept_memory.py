"""Workers that Dask started keep their memory: pages are not asked for anew with each array."""

import os
import platform
import subprocess
import sys

import pytest

FAULTS = """
import resource, sys
import numpy as np
from faultnet.sharing.kept_memory import keep_memory
if sys.argv[1]:
    assert keep_memory()
for _ in range(3):
    np.ones(400_000) * 2.0
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
for _ in range(50):
    np.ones(400_000) * 2.0
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""
"""Tells how many pages 50 arrays of 3 MB asked for; each has some 780 pages of 4 KiB."""

pytestmark = pytest.mark.skipif(
    platform.libc_ver()[0] != "glibc", reason="another C library has its own ways"
)


def _pages(keep):
    started = {**os.environ, "MALLOC_TRIM_THRESHOLD_": "65536"}  # as Dask starts its workers
    order = [sys.executable, "-c", FAULTS, keep]
    return int(subprocess.run(order, env=started, capture_output=True, check=True).stdout)


def test_memory_that_is_free_is_used_again():
    assert _pages("keep") < 50
    assert _pages("") > 5000
