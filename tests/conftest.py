"""How the tests are shared out."""

import os


def pytest_xdist_auto_num_workers():
    """Return how many processes run them: many tests wait for a browser, a terminal or a clock."""
    processors = getattr(os, "sched_getaffinity", lambda _: range(os.cpu_count() or 1))(0)
    return len(processors) + 1
