"""The way to a Dask scheduler: tried first, quiet, and with workers that are like this process."""

import asyncio
import logging
import time
from typing import TYPE_CHECKING

from faultnet.sharing.alike import Alike, alike, like_processor, of_processors, unlike
from faultnet.sharing.trouble import NoClusterError, UnlikeError

if TYPE_CHECKING:
    from distributed import Client

ANSWERING = 5.0
"""Seconds that a scheduler has to answer, and then the first worker to come."""

LARGE = {"distributed.admin.large-graph-warning-threshold": "1GiB"}
"""Knowledge may be large: Dask is not to warn of it."""


def connected(address: str) -> "Client":
    """Return a connection; raise ``NoClusterError``, or ``UnlikeError`` for other versions."""
    import dask.config
    from distributed import Client

    dask.config.set(LARGE)
    _quieten()
    asyncio.run(_try(address))
    client = Client(address, timeout=ANSWERING, set_as_default=False)
    try:
        _await_worker(client, address)
        _look(client)
    except BaseException:
        client.close()
        raise
    return client


def _quieten() -> None:
    """Keep what Dask notes from whoever reads the results: what matters is told as an error."""
    for name in list(logging.Logger.manager.loggerDict):
        if name.partition(".")[0] in {"distributed", "tornado", "asyncio"}:
            logging.getLogger(name).setLevel(logging.CRITICAL)


async def _try(address: str) -> None:
    """Raise ``NoClusterError`` where no Dask scheduler answers in time."""
    from distributed import rpc
    from distributed.security import Security

    try:
        arguments = Security().get_connection_args("client")
        async with asyncio.timeout(ANSWERING), rpc(address, connection_args=arguments) as asked:
            kind = (await asked.identity())["type"]
    except Exception as error:
        raise NoClusterError(f"No cluster at `{address}`: {_reason(error)}") from error
    if kind != "Scheduler":
        reason = f"a Dask {kind.lower()} answers there. Give the address of the scheduler."
        raise NoClusterError(f"No cluster at `{address}`: {reason}")


def _reason(error: Exception) -> str:
    """Return why nobody answered, and what mends it."""
    from distributed.comm import CommClosedError

    if isinstance(error, ValueError):
        return "this is no address. Write HOST:PORT, as 10.0.0.1:8786, or tls://HOST:PORT."
    if isinstance(error, TypeError):
        return "no certificates are known. Name them in Dask's configuration, distributed.comm.tls."
    if isinstance(error, OSError) and not isinstance(error, CommClosedError):
        wait = f"nobody answered within {ANSWERING:.0f} seconds."
        return f"{wait} Start `dask scheduler` there, and let this machine reach it."
    return "what answers there is no Dask scheduler, or one that wants tls://HOST:PORT."


def _await_worker(client: "Client", address: str) -> None:
    late = time.monotonic() + ANSWERING
    while not client.nthreads():
        if time.monotonic() > late:
            mend = f"Start some: `dask worker {address} --nthreads 1`."
            raise NoClusterError(f"The cluster at `{address}` has no workers. {mend}")
        time.sleep(0.1)


def _look(client: "Client") -> None:
    """Raise ``UnlikeError`` where the scheduler or a worker might not do as this process does."""
    try:
        theirs = client.run_on_scheduler(alike)
    except Exception as error:
        raise unable("The scheduler", error) from error
    found = {"scheduler": like_processor(theirs, alike())}  # it hands out, and reckons nothing
    found |= client.run(alike, on_error="return")
    for name, theirs in found.items():
        who = "The scheduler" if name == "scheduler" else f"The worker {name}"
        if not isinstance(theirs, Alike):
            raise unable(who, theirs)
        if theirs != alike():
            raise other_versions(who, theirs)


def unable(who: str, error: Exception) -> UnlikeError:
    """Return why somebody is refused who cannot even read the work."""
    return UnlikeError(f"{who} cannot take this work: {error}. {_MEND}")


def other_versions(who: str, theirs: Alike) -> UnlikeError:
    """Return why somebody is refused: it might answer otherwise than this process."""
    differences = "; ".join(unlike(theirs, alike()))
    mend = f"{_MEND} {_ONE_KIND}" if of_processors(theirs, alike()) else _MEND
    return UnlikeError(f"{who} runs other versions: {differences}. {mend}")


_MEND = "Install the same versions on all machines, and start scheduler and workers again."
_ONE_KIND = (
    "Where processors differ in age, have all use what the oldest can:"
    " OPENBLAS_CORETYPE and NPY_DISABLE_CPU_FEATURES, set alike on all."
)
