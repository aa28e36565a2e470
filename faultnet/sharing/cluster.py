"""Workers on other machines, by Dask distributed (extra ``cluster``)."""

import hashlib
import time
import uuid
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self, TypeVar

from faultnet.sharing.alike import alike
from faultnet.sharing.at_worker import Unlike, answered
from faultnet.sharing.connection import connected, other_versions, unable
from faultnet.sharing.flow import Done, LostError, flow
from faultnet.sharing.one_thread import one_thread
from faultnet.sharing.trouble import NoClusterError

if TYPE_CHECKING:
    from distributed import Client, Future

T = TypeVar("T")
R = TypeVar("R")

ALONE = 60.0
"""Seconds without any worker, in the middle of the work, until it is given up."""
LOOK = 1.0
"""Seconds between looks at who is there."""
AHEAD = 3
"""Bundles under way for each thread of a worker."""
SPELL = 0.25
"""Seconds that a bundle should take, where there are few workers."""
BUSY = 100
"""Bundles in a second that a scheduler is asked to hand out, where there are many."""


class OnCluster:
    """The workers of a Dask scheduler at an address, as ``10.0.0.1:8786``.

    The results are those of ``Here``, bit for bit: workers that run other versions are refused.
    What answers goes to the workers by value, once to each, and the knowledge in it too. A
    worker that dies costs time: Dask hands what it had to others.
    """

    def __init__(self, address: str) -> None:
        self.address = address
        self._client: Client | None = None

    def each(self, do: Callable[[T], R], asked: Iterable[T]) -> Iterator[R]:
        """Yield what ``do`` makes of each, in order; what it raises is raised here.

        Raises ``SharingError`` where nobody answers, workers are unlike, or keep dying.
        """
        one_thread()
        yield from flow(Workers(self._connection(), self.address, do), asked)

    def close(self) -> None:
        """Leave the cluster, which goes on running."""
        if self._client is not None:
            self._client.close()
            self._client = None

    def _connection(self) -> "Client":
        if self._client is None or self._client.status != "running":
            self.close()
            self._client = connected(self.address)
        return self._client

    def __enter__(self) -> Self:
        """Connect; raise ``SharingError``."""
        self._connection()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.close()


class Workers:
    """The workers of a cluster, all answering with one ``do``."""

    tries = 2
    """More than one: what was dropped may still end a worker."""

    def __init__(self, client: "Client", address: str, do: Callable[[Any], Any]) -> None:
        from cloudpickle import dumps

        self._client, self._address, self._packed = client, address, dumps
        self._do = dumps(do)
        self._digest = hashlib.sha256(self._do).hexdigest()
        self._name, self._number = f"faultnet-{uuid.uuid4().hex}", 0
        self._threads, self._looked, self._seen = 1, 0.0, time.monotonic()
        self._under_way: set[Future] = set()
        self._given = self._give()

    @property
    def spell(self) -> float:
        """Seconds that a bundle should take: longer where many workers ask for the next."""
        return max(SPELL, self._threads / BUSY)

    def room(self) -> int:
        """Return how many bundles may be under way."""
        if time.monotonic() > self._looked + LOOK:
            self._look()
        return AHEAD * self._threads + 1

    def send(self, bundle: tuple[Any, ...]) -> "Future":
        """Have a bundle answered."""
        given = (self._given, self._digest, alike(), self._packed(bundle))
        sent = self._client.submit(answered, *given, key=self._key())
        self._under_way.add(sent)
        return sent

    def answer(self, promise: "Future") -> Done:
        """Wait for what was sent; raise ``LostError`` or ``SharingError``."""
        from distributed.scheduler import KilledWorker

        try:
            found = self._found(promise)
        except KilledWorker as error:
            raise LostError(
                f"ended its workers time and again, the last at {error.last_worker.address}. Most"
                " often their memory ran out: give them more (--memory-limit). Their logs tell."
            ) from error
        if isinstance(found, Unlike):
            raise other_versions(f"The worker {found.worker}", found.theirs)
        return found

    def is_there(self, promise: "Future") -> bool:
        """Return whether the answer has come, and was not dropped."""
        return bool(promise.status == "finished")

    def begin_again(self) -> None:
        """Drop what is under way; Dask blames all that waited for a worker that died."""
        self._drop()
        self._given = self._give()

    def leave(self) -> None:
        """Drop what is under way; what a worker has begun it ends, and nobody asks for it."""
        if self._client.status == "running":
            self._drop()

    def _key(self) -> str:
        self._number += 1
        return f"{self._name}-{self._number}"

    def _give(self) -> "Future":
        """Send what answers: as a task, since scattered data is not made anew where it is lost."""
        return self._client.submit(bytes, self._do, key=self._key())

    def _drop(self) -> None:
        self._client.cancel([self._given, *self._under_way], force=True)
        self._under_way.clear()

    def _found(self, promise: "Future") -> Done | Unlike:
        """Wait for one; raise Dask's ``KilledWorker`` where its workers died."""
        from distributed.scheduler import KilledWorker

        while True:
            try:
                found: Done | Unlike = promise.result(timeout=LOOK)
            except TimeoutError:
                self._look()
            except CancelledError as error:
                raise NoClusterError(self._gone()) from error
            except KilledWorker:
                raise
            except Exception as error:
                raise unable("A worker", error) from error
            else:
                self._under_way.discard(promise)
                return found

    def _look(self) -> None:
        """See how many threads there are; raise ``NoClusterError`` where none was for long."""
        try:
            threads = sum(self._client.nthreads().values())
        except (OSError, CancelledError) as error:
            raise NoClusterError(self._gone()) from error
        self._looked = time.monotonic()
        if threads:
            self._threads, self._seen = threads, self._looked
        elif self._looked > self._seen + ALONE:
            raise NoClusterError(
                f"The cluster at `{self._address}` has had no workers for {ALONE:.0f} seconds."
                " Start workers, and the command again."
            )

    def _gone(self) -> str:
        return f"The scheduler at `{self._address}` went away. Start it, and the command again."
