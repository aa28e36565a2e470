"""A real terminal of a given size for a program, its screen as plain lines."""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time

from tests.cli.conftest import ROOT

STYLE = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")
PATIENCE = 60.0
"""Seconds until a screen must stand."""


class Terminal:
    """The program on a terminal; ``shown`` holds all that it wrote since the last key."""

    def __init__(self, *arguments, columns=80, rows=24, **environment):
        self.pid, self.handle = pty.fork()
        if self.pid == 0:
            os.chdir(ROOT)
            words = [sys.executable, "-m", "faultnet", *map(str, arguments)]
            told = {**os.environ, "TERM": "xterm", **environment}
            os.execve(sys.executable, words, told)  # noqa: S606 -- only a process that pty forked has the terminal for its own
        size = struct.pack("HHHH", rows, columns, 0, 0)
        fcntl.ioctl(self.handle, termios.TIOCSWINSZ, size)
        self.shown = ""
        self.code = None

    def wait(self, *texts):
        """Wait until one of the texts stands on the screen."""
        until = time.monotonic() + PATIENCE
        while not any(text in self.plain for text in texts):
            if not self._read(until):
                raise AssertionError(f"none of {texts} in {self.plain!r}")
        # The prompt is the last thing written; only then is a key read.
        while not self.plain.endswith(("> ", "--")) and self._read(time.monotonic() + 0.3):
            pass
        time.sleep(0.1)
        return self

    def press(self, keys):
        """Press keys on the screen that stands."""
        self.shown = ""
        os.write(self.handle, keys.encode())
        return self

    def ended(self):
        """Wait for the end of the program and return its exit code."""
        while self._read(time.monotonic() + PATIENCE):
            pass
        _, status = os.waitpid(self.pid, 0)
        self.code = os.waitstatus_to_exitcode(status)
        os.close(self.handle)
        return self.code

    def kill(self):
        """End the program if it still runs."""
        if self.code is None:
            os.kill(self.pid, signal.SIGKILL)
            self.ended()

    @property
    def plain(self):
        """What was written, without styles."""
        return STYLE.sub("", self.shown).replace("\r\n", "\n")

    def _read(self, until):
        ready, _, _ = select.select([self.handle], [], [], max(0.0, until - time.monotonic()))
        if not ready:
            return False
        try:
            data = os.read(self.handle, 65536)
        except OSError:  # the other side is gone
            return False
        self.shown += data.decode("utf-8", "replace")
        return bool(data)
