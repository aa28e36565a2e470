"""A plain file server on this machine, as anybody has one: it knows nothing of the page."""

import functools
import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


@dataclass
class Served:
    """A folder that is served; ``stop`` ends that, as where there is no signal."""

    folder: Path
    server: http.server.ThreadingHTTPServer

    @property
    def address(self) -> str:
        """Where it is served."""
        return f"http://localhost:{self.server.server_port}/"

    def hang(self) -> None:
        """Take what is asked and never answer it, as where the signal is bad."""
        self.server.shutdown()

    def stop(self) -> None:
        """Serve it no more."""
        self.server.shutdown()
        self.server.server_close()


@contextmanager
def serving(folder: str | Path) -> Iterator[Served]:
    """Serve a folder; whoever stopped it before need not wait for it."""
    handler = functools.partial(_Quiet, directory=str(folder))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield Served(Path(folder), server)
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
