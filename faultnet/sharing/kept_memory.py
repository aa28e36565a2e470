"""Memory that a worker keeps for its next arrays.

Dask has its workers hand every large piece of memory back as soon as it is free
(``MALLOC_TRIM_THRESHOLD_`` in what it starts them with), which also stops the C library from
learning what sizes come again and again. Each array of megabytes then comes from the system
anew, page by page, and a case takes two to three times as long.
"""

import ctypes
import platform
from functools import cache
from typing import Final

TRIM_THRESHOLD: Final = -1
MMAP_THRESHOLD: Final = -3
"""What mallopt(3) calls M_TRIM_THRESHOLD and M_MMAP_THRESHOLD."""
KEPT: Final = 256 << 20
"""Bytes at the top of its memory that a process may keep free (judgement)."""
LARGE: Final = 32 << 20
"""Bytes from which on a piece comes from the system by itself; the C library learns up to here."""


@cache
def keep_memory() -> bool:
    """Have this process keep memory that is free; return whether its C library is told so."""
    if platform.libc_ver()[0] != "glibc":
        return False
    libc = ctypes.CDLL(None)
    return bool(libc.mallopt(TRIM_THRESHOLD, KEPT) and libc.mallopt(MMAP_THRESHOLD, LARGE))
