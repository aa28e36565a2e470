"""What a worker of a cluster does: it answers bundles, if it is like the process that asks."""

import threading
from collections.abc import Callable
from typing import Any, cast

import msgspec

from faultnet.sharing.alike import Alike, alike
from faultnet.sharing.flow import Done, done
from faultnet.sharing.kept_memory import keep_memory
from faultnet.sharing.one_thread import one_thread
from faultnet.sharing.unpacked import unpacked


class Unlike(msgspec.Struct, frozen=True):
    """A worker that runs other versions: it answered nothing."""

    worker: str
    theirs: Alike


class Kept(threading.local):
    """What a thread of a worker answers with: the last that was asked for, by its digest."""

    digest = ""
    do: Callable[[Any], Any]


_kept = Kept()


def answered(packed: bytes, digest: str, theirs: Alike, bundle: bytes) -> Done | Unlike:
    """Answer a bundle; what answers is made once for each thread, and keeps what it keeps."""
    if theirs != alike():
        from distributed import get_worker

        return Unlike(get_worker().address, alike())
    one_thread()
    keep_memory()
    if _kept.digest != digest:
        _kept.do = cast("Callable[[Any], Any]", unpacked(packed))
        _kept.digest = digest
    return done(_kept.do, cast("tuple[Any, ...]", unpacked(bundle)))
