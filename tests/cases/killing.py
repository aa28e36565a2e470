"""Start writers and kill them at random points; run as a program of its own.

``python -m tests.cases.killing WHERE LOG ROUNDS SEED`` forks a writer, waits for a moment,
kills it with SIGKILL, and goes on with the next. ``{}`` in WHERE stands for the number of
the round; without it all write to one case. Every id that a writer was told is kept stands
on standard output behind the number of its round, a line each; the last line is ``done``.

Nothing is connected before the fork: each writer opens the store anew.
"""

import os
import random
import select
import signal
import sys
import time
from pathlib import Path

from sqlalchemy import create_engine

from faultnet.cases.entry import Writer
from faultnet.cases.events import Note
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store

EARLY = 0.3
"""The share of writers that are killed within ``OPENING`` seconds, written or not."""
OPENING = 0.04
WRITING = 0.015
"""Seconds that the others have, at most, once they have written a few times."""
PATIENCE = 20.0


def write(where: str, log: str, tell: int, seed: int) -> None:
    """Write until killed, one entry or a few at a time, and tell what is kept."""
    chance = random.Random(seed)
    writer = Writer(f"w{seed}")
    with Store(place_of(where, Path())) as store:
        seen = store.read(log).entries
        while True:
            new = []
            for _ in range(chance.choice((1, 1, 1, 4))):
                new.append(writer.entry(log, Note("x" * chance.choice((5, 5, 3000))), seen))
                seen = (*seen[-5:], new[-1])
            store.append(new)
            os.write(tell, "".join(f"{entry.id}\n" for entry in new).encode())
            if chance.random() < 0.2:
                store.append(new)  # sent again, as after a lost answer


def killed(where: str, log: str, seed: int) -> list[str]:
    """Return the ids a writer told until it was killed."""
    hear, tell = os.pipe()
    child = os.fork()
    if not child:
        os.close(hear)
        try:
            write(where, log, tell, seed)
        finally:
            os._exit(1)
    os.close(tell)
    told = _heard(hear, random.Random(-seed))
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(hear, "rb") as stream:
        told += stream.read()
    if os.waitstatus_to_exitcode(status) != -signal.SIGKILL:
        raise SystemExit(f"a writer ended by itself: {status}")
    return told[: told.rfind(b"\n") + 1].decode().split()


def _heard(hear: int, chance: random.Random) -> bytes:
    """Wait until the writer is to be killed, and return what it told by then."""
    told = b""
    if chance.random() < EARLY:
        time.sleep(chance.uniform(0.0, OPENING))
        return told
    wanted = chance.randint(1, 6)
    deadline = time.monotonic() + PATIENCE
    while told.count(b"\n") < wanted:
        if not select.select([hear], [], [], max(0.0, deadline - time.monotonic()))[0]:
            raise SystemExit("a writer does not write")
        told += os.read(hear, 65536)
    time.sleep(chance.uniform(0.0, WRITING))
    return told


def main() -> None:
    """Do it, for as many rounds as are asked for."""
    where, log, rounds, seed = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
    url = place_of(where, Path()).url
    create_engine(url).dispose()  # so that a writer need not import the driver first
    for number in range(1, rounds + 1):
        told = killed(where.replace("{}", str(number)), log, seed * 10_000 + number)
        sys.stdout.write("".join(f"{number} {name}\n" for name in told))
        sys.stdout.flush()
    sys.stdout.write("done\n")


if __name__ == "__main__":
    main()
