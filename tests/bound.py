"""Tests of what may not be written, for root too: a thread lays aside a right of root."""

import ctypes
import os
import struct
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")
VERSION = 0x20080522
"""Of what capget(2) and capset(2) exchange: three words for 32 capabilities, twice."""
DAC_OVERRIDE = 1 << 1
"""CAP_DAC_OVERRIDE of capabilities(7): writing whatever the permissions say."""


def bound_by_permissions(do: Callable[[], T]) -> T:
    """Do it in a thread that writes only where permissions allow it, whoever runs the tests."""
    with ThreadPoolExecutor(1, initializer=_lay_aside) as thread:
        return thread.submit(do).result()


def _lay_aside() -> None:
    """Lay the right aside, for good; Linux keeps rights by thread."""
    if os.geteuid():
        return
    libc = ctypes.CDLL(None, use_errno=True)
    head = ctypes.create_string_buffer(struct.pack("Ii", VERSION, 0))
    rights = ctypes.create_string_buffer(24)
    assert libc.capget(head, rights) == 0, os.strerror(ctypes.get_errno())
    effective, permitted, *others = struct.unpack("6I", rights.raw[:24])
    fewer = struct.pack("6I", effective & ~DAC_OVERRIDE, permitted & ~DAC_OVERRIDE, *others)
    done = libc.capset(head, ctypes.create_string_buffer(fewer))
    assert done == 0, os.strerror(ctypes.get_errno())
