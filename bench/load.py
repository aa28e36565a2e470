"""Load `faultnet serve` with programs and browsers, and look whether anything is lost.

Run ``python bench/load.py`` (SQLite) or ``python bench/load.py --store postgresql
--workers 2``; it stops by itself and leaves nothing. First programs ask as fast as they can,
against a bare Starlette on uvicorn in turns, so that a busy machine slows both alike: the
ratios count. Then browsers do mixed work for some minutes, a while at each page; afterwards
the store is read. Exits with 1 where something was lost, kept twice or answered with 5xx.
Linux only: memory and processor are read from /proc.
"""

import argparse
import contextlib
import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import click
import load_browsers as browsers
import load_server as server
import numpy as np
from load_browsers import Asked, Tally

from faultnet.accounts import register, sessions, tokens
from faultnet.cases.store import listing
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store

PASSWORD = "no secret at all, of a minute"  # noqa: S105 of accounts that live as long as the run
CLIENTS = 8
"""Programs that ask at once, as fast as they can, in one process."""

PROCESSES = 2
"""Processes of browsers."""

WARM = 0.2
"""The part of the minutes after which memory should be flat."""

BESIDE = ("joined", "advice-shown", "danger-met")
"""Events that a page keeps by itself beside the one that a button stands for."""


@dataclass(frozen=True)
class Rate:
    """How fast one kind of request was answered in one round.

    ``taken`` and ``worst`` are the median and the 99th percentile of the seconds; ``busy``
    are the seconds of the server's processor for one request.
    """

    each_second: float
    taken: float
    worst: float
    busy: float


def main() -> None:
    """Load the server, look into the store, and print."""
    asked = _arguments()
    with contextlib.ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="faultnet-load-")))
        place = stack.enter_context(_database(asked.store, folder))
        with Store(place_of(place, folder)) as store:
            keys = _let_in(store, asked.accounts)
        ours = stack.enter_context(server.serving(place, folder, asked.workers))
        bare = stack.enter_context(server.bare())
        click.echo(f"{asked.store}, {asked.workers} worker(s)")
        total, plain = _programs(ours, bare, keys, asked)
        told = _browsers(ours, keys, asked, plain)
        total.add(told)
        with Store(place_of(place, folder)) as store:
            wrong = [*total.wrong, *lost(store, total)]
    click.echo(f"answers: {dict(sorted(total.statuses.items()))}")
    click.echo(f"sent or pressed twice: {total.twice}; wrong: {len(wrong)}")
    for line, times in Counter(each[:300] for each in wrong).most_common(20):
        click.echo(f"  {times} x {line}")
    sys.exit(1 if wrong else 0)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--store", choices=("sqlite", "postgresql"), default="sqlite")
    parser.add_argument("--minutes", type=float, default=5.0, help="of the browsers")
    parser.add_argument("--browsers", type=int, default=200)
    parser.add_argument("--pause", type=float, default=20.0, help="seconds at a page, on average")
    parser.add_argument("--workers", type=int, default=1, help="processes of the server")
    parser.add_argument("--rounds", type=int, default=5, help="of programs, 0 leaves them out")
    parser.add_argument("--seconds", type=float, default=4.0, help="of each kind in a round")
    parser.add_argument("--accounts", type=int, default=20, help="that the browsers share")
    return parser.parse_args()


@contextlib.contextmanager
def _database(kind: str, folder: Path) -> Iterator[str]:
    """Yield where cases are kept: a file, or a PostgreSQL of the bench's own."""
    if kind == "sqlite":
        yield f"sqlite:///{folder / 'cases.sqlite'}"
        return
    sys.path.insert(0, str(server.ROOT))
    from tests.cases.server import Server, programs

    found = programs()
    if found is None:
        raise click.ClickException("no PostgreSQL here; on Debian: apt-get install postgresql")
    running = Server(found, durable=True)
    try:
        yield running.new_database("load")
    finally:
        running.stop()


def _let_in(store: Store, accounts: int) -> Asked:
    """Make accounts and log them in; return the keys of people and of a program."""
    now = time.time()
    made = [
        register.add(store, f"tech{number}", "technician", PASSWORD, now)
        for number in range(accounts)
    ]
    secrets = tuple(sessions.begin(store, account, now) for account in made)
    token = tokens.make(store, "load", "technician", 1, now)[1]
    return Asked("", 0.0, CLIENTS, 0, token, secrets)


def _programs(
    ours: server.Running, bare: server.Running, keys: Asked, asked: argparse.Namespace
) -> tuple[Tally, float]:
    """Ask as fast as can be, in rounds; print ratios, return all and the bare median."""
    total, rates = Tally(), dict[str, list[Rate]]()
    kinds: tuple[tuple[str, server.Running, Callable[[Asked], Tally]], ...] = (
        ("bare", bare, browsers.bare),
        ("advice", ours, browsers.advice),
        ("event", ours, browsers.writing),
    )
    for round_ in range(asked.rounds):
        for kind, running, work in kinds:
            token = keys.token if running is ours else ""
            part = Asked(running.address, asked.seconds, CLIENTS, 100 + round_, token)
            busy = running.busy()
            tally = browsers.spread(work, [part])
            taken = tally.seconds.get(kind, [])
            if taken:
                each = (running.busy() - busy) / len(taken)
                rate = Rate(len(taken) / asked.seconds, *_middle_and_worst(taken), each)
                rates.setdefault(kind, []).append(rate)
            total.add(tally)
    if rates:
        _show_rates(rates)
    return total, statistics.median(r.taken for r in rates["bare"]) if rates else 0.0


def _show_rates(rates: dict[str, list[Rate]]) -> None:
    rounds = len(rates["bare"])
    click.echo(f"{CLIENTS} programs at once; medians of {rounds} rounds, ratios to the bare one's")
    click.echo(f"{'':<8}{'per second':>12}{'99th of 100':>13}{'processor':>11}   ratios of these")
    for kind, each in rates.items():
        figures = [
            f"{statistics.median(r.each_second for r in each):>12.0f}",
            f"{1000 * statistics.median(r.worst for r in each):>10.1f} ms",
            f"{1000 * statistics.median(r.busy for r in each):>8.2f} ms",
        ]
        pairs = list(zip(each, rates["bare"], strict=False))
        ratios = (
            statistics.median(b.each_second / r.each_second for r, b in pairs),
            statistics.median(r.worst / b.worst for r, b in pairs),
            statistics.median(r.busy / b.busy for r, b in pairs),
        )
        click.echo(f"{kind:<8}{''.join(figures)}   {'  '.join(f'{x:.1f}' for x in ratios)}")


def _browsers(ours: server.Running, keys: Asked, asked: argparse.Namespace, plain: float) -> Tally:
    """Have browsers work, watch the memory, print what they were told."""
    seconds = 60.0 * asked.minutes
    shares = [len(range(n, asked.browsers, PROCESSES)) for n in range(PROCESSES)]
    parts = [
        Asked(ours.address, seconds, share, 1 + n, keys.token, keys.sessions, asked.pause)
        for n, share in enumerate(shares)
        if share
    ]
    with server.Memory(ours) as memory:
        tally = browsers.spread(browsers.browsing, parts)
    number = sum(map(len, tally.seconds.values()))
    click.echo(
        f"{asked.browsers} browsers, {asked.minutes:g} minutes, {asked.pause:g} s at a page: "
        f"{number} requests, {number / seconds:.0f} per second, {len(tally.sent)} cases"
    )
    for kind, taken in tally.seconds.items():
        middle, worst = _middle_and_worst(taken)
        ratio = f"{middle / plain:>9.1f}{worst / plain:>9.1f}" if plain else ""
        click.echo(f"{kind:<8}{len(taken):>8}{middle:>8.3f} s{worst:>8.3f} s{ratio}")
    held = [mib for _, mib in memory.samples]
    if held:
        click.echo(
            f"memory: {held[0]:.0f} MiB at first, {max(held):.0f} at most, {held[-1]:.0f} at last; "
            f"{memory.slope(WARM * seconds):+.2f} MiB a minute after the first {WARM:.0%}"
        )
    return tally


def lost(store: Store, tally: Tally) -> list[str]:
    """Return what the store does not have exactly as it was acknowledged."""
    wrong = []
    listed = {each.id: each.entries for each in listing.cases(store)}
    if len(listed) != len(tally.sent):
        wrong.append(f"store: {len(listed)} cases kept, {len(tally.sent)} opened")
    for case, acknowledged in tally.sent.items():
        entries = store.read(case).entries
        times = Counter(entry.id for entry in entries)
        wrong += [
            f"store: {case}: {name} is kept {times[name]} times"
            for name in acknowledged
            if times[name] != 1
        ]
        if listed.get(case) != len(entries):
            wrong.append(f"store: {case}: {listed.get(case)} counted, {len(entries)} kept")
        pages = [e.event.__struct_config__.tag for e in entries if e.author.startswith("tech")]
        pressed = sum(what not in (*BESIDE, "opened") for what in pages)
        if pressed != tally.replies[case]:
            wrong.append(f"store: {case}: {tally.replies[case]} buttons taken, {pressed} kept")
    return wrong


def _middle_and_worst(taken: list[float]) -> tuple[float, float]:
    middle, worst = np.percentile(taken, (50, 99))
    return float(middle), float(worst)


if __name__ == "__main__":
    main()
