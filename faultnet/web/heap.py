"""One heap for all threads, so that memory stays as it is."""

import ctypes

ARENAS_MOST = -8
"""``M_ARENA_MAX`` of mallopt(3): how many heaps the threads of a process have."""


def share_heap() -> None:
    """Have all threads take memory from one heap; nothing where the system's C library has none.

    The GNU C library gives each thread that waits a heap of its own. What one thread lets go
    another cannot take, and whatever thinks needs some dozen MiB now and then: the heaps grew
    for as long as was looked (docs/load.md).
    """
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None)
    if mallopt is not None:
        mallopt(ARENAS_MOST, 1)
