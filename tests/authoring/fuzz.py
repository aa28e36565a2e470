"""Spoil files of knowledge by the thousand and see that `faultnet lint` tells where, and no more.

Run `python -m tests.authoring.fuzz COUNT --seed N`. Each spoilt file is one number under the seed;
`--first NUMBER` with a count of 1 does it again, and `--keep FOLDER` leaves the files there.
"""

import argparse
import random
import shutil
import signal
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from types import FrameType
from typing import NamedTuple

import click
from click.testing import CliRunner

from faultnet.cli.lint import command
from tests.authoring.mutations import MUTATIONS
from tests.authoring.placed import misplaced

ROOT = Path(__file__).parents[2]
BASES = (
    (ROOT / "tests/authoring/knowledge", 0.2),
    (ROOT / "tests/visit/knowledge", 0.12),
    (ROOT / "tests/advice/knowledge-two-checks", 0.3),
    (ROOT / "tests/outside/knowledge-one-fault", 0.35),
    (ROOT / "docs/examples/tower-clock", 0.025),
    (ROOT / "knowledge", 0.005),
)
"""Good folders, each with its share of the tries."""
SECONDS = 1.0
"""What a spoilt folder may take beyond twice the sound one, in seconds of the processor."""
CHUNK = 250


class Try(NamedTuple):
    """What came of one spoilt file; ``fault`` is empty when all is as it should be."""

    number: int
    spoilt: str
    seconds: float
    codes: Counter[str]
    fault: str


class TooLongError(Exception):
    """It has taken longer than it may."""


class Spoilt(NamedTuple):
    """A spoilt file: the good folder, which file was taken, where it is put, what it holds now."""

    base: Path
    taken: str
    put: str
    data: bytes
    how: str


def tries(seed: int, numbers: range, *, bases: tuple[tuple[Path, float], ...] = BASES) -> list[Try]:
    """Return what comes of the numbers under a seed."""
    with tempfile.TemporaryDirectory(prefix="faultnet-fuzz-") as place:
        return [_tried(Path(place), number, spoilt(seed, number, bases)) for number in numbers]


def spoilt(seed: int, number: int, bases: tuple[tuple[Path, float], ...] = BASES) -> Spoilt:
    """Return the spoilt file of a number under a seed."""
    chance = random.Random(f"{seed}:{number}")
    (base,) = chance.choices([b for b, _ in bases], [share for _, share in bases])
    files = _texts(base)
    name = chance.choice(sorted(files))
    data, how = files[name], []
    for mutation in chance.sample(MUTATIONS, chance.choice((1, 1, 1, 2, 3))):
        data = mutation(data, files, chance)
        how.append(mutation.__name__)
    put = _put_aside(name, files, chance) if chance.random() < 0.02 else name
    return Spoilt(base, name, put, data, ", ".join(how))


def _tried(place: Path, number: int, each: Spoilt) -> Try:
    files = _texts(each.base)
    folder = _copied(each.base, place / each.base.parent.name)
    try:
        _spoil(folder, each)
        seconds, codes, fault = _looked_at(folder, each.base)
    finally:
        (folder / each.put).unlink(missing_ok=True)
        for spared in {each.taken, each.put} & set(files):
            (folder / spared).write_bytes(files[spared])
    return Try(number, f"{each.base.name}/{each.put} by {each.how}", seconds, codes, fault)


def _copied(base: Path, place: Path) -> Path:
    folder = place / base.name
    if not folder.exists():
        shutil.copytree(base, folder)
    return folder


def _spoil(folder: Path, each: Spoilt) -> None:
    (folder / each.put).write_bytes(each.data)
    if each.put != each.taken:
        (folder / each.taken).unlink()


def _put_aside(name: str, files: dict[str, bytes], chance: random.Random) -> str:
    """Return another name, where the file does not belong or takes the place of a sound one."""
    folder, _, last = name.rpartition("/")
    aside = f"{folder}/x-{last}".lstrip("/")
    return chance.choice((aside, f"{last}.yml", chance.choice(sorted(files))))


@lru_cache
def _texts(base: Path) -> dict[str, bytes]:
    return {p.relative_to(base).as_posix(): p.read_bytes() for p in sorted(base.rglob("*.yaml"))}


@lru_cache
def _usual(base: Path) -> float:
    """Return the seconds that the sound folder takes."""
    start = time.process_time()
    CliRunner().invoke(command, [str(base), "--json"])
    return time.process_time() - start


def _looked_at(folder: Path, base: Path) -> tuple[float, Counter[str], str]:
    """Return the seconds, the codes told, and what is not as it should be."""
    allowed = 2 * _usual(base) + SECONDS
    start = time.process_time()
    with _no_longer_than(allowed):
        done = CliRunner().invoke(command, [str(folder), "--json"], standalone_mode=False)
    seconds = time.process_time() - start
    if isinstance(done.exception, TooLongError):
        return seconds, Counter(), f"not done after {seconds:.1f} s of the processor"
    if done.exception is not None:
        return seconds, Counter(), f"{type(done.exception).__name__}: {done.exception}"
    codes, fault = misplaced(folder, done.return_value, done.output)
    return seconds, codes, fault


@contextmanager
def _no_longer_than(seconds: float) -> Iterator[None]:
    def stop(_number: int, _frame: FrameType | None) -> None:
        raise TooLongError

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def _of_chunk(task: tuple[int, range]) -> list[Try]:
    return tries(*task)


def main() -> int:
    """Do as many tries as asked for, tell what came; 1 when any is not as it should be."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("count", type=int)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--first", type=int, default=0, help="the first number under the seed")
    asked.add_argument("--processes", type=int, default=2)
    asked.add_argument("--keep", type=Path, help="a folder to write the spoilt files to")
    given = asked.parse_args()
    numbers = range(given.first, given.first + given.count)
    if given.keep:
        for number in numbers:
            each = spoilt(given.seed, number)
            _spoil(_copied(each.base, given.keep / str(number)), each)
    return _told(given.seed, numbers, given.processes)


def _told(seed: int, numbers: range, processes: int) -> int:
    """Try the numbers and tell what came."""
    codes: Counter[str] = Counter()
    faulty, slowest, began = 0, Try(0, "", 0.0, Counter(), ""), time.monotonic()
    chunks = [numbers[start : start + CHUNK] for start in range(0, len(numbers), CHUNK)]
    with ProcessPoolExecutor(processes) as pool:
        for done in pool.map(_of_chunk, [(seed, chunk) for chunk in chunks]):
            click.echo(f"{done[-1].number + 1 - numbers.start} done", err=True)
            for each in done:
                codes += each.codes
                slowest = max(slowest, each, key=lambda one: one.seconds)
                if each.fault:
                    faulty += 1
                    click.echo(f"--seed {seed} --first {each.number}: {each.spoilt}: {each.fault}")
    for code, count in codes.most_common():
        click.echo(f"{count:8} {code}")
    click.echo(f"{len(numbers)} files, {faulty} not as they should be, seed {seed}")
    click.echo(f"slowest {slowest.seconds:.2f} s: --first {slowest.number}: {slowest.spoilt}")
    click.echo(f"{time.monotonic() - began:.0f} s by the clock, {processes} processes")
    return 1 if faulty else 0


if __name__ == "__main__":
    raise SystemExit(main())
