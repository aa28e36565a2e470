"""How long closed cases take to write, to read and to hold against the knowledge; memory.

Processor's time for each case, and the most memory that reading takes, by how many there are:
it must not grow with them. Linux only. The cases are one invented case over and over, each with an
id of its own.

    python bench/closed_cases.py [--cases 20000]
"""

import argparse
import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import click
import msgspec
from msgspec.structs import replace

from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.learning.closed import ClosedCase
from faultnet.learning.fit.fit import Fit, fit_to
from faultnet.learning.fit.fitted import fitted
from faultnet.learning.fit.tally import Counting
from faultnet.learning.reading.where import source_of
from faultnet.learning.reading.written import write_cases
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.knowledge import Knowledge
from faultnet.sharing.sharing import Here

SYSTEM = "jet-pump-cistern"
NOW = "2100-01-01T00:00:00Z"
ANSWERS = 20


def cases(knowledge: Knowledge, number: int) -> Iterator[ClosedCase]:
    """Yield so many cases with as many answers as a long visit has."""
    parts = knowledge.systems[SYSTEM].parts
    names = [f.id for f in knowledge.findings.values() if f.part in parts][:ANSWERS]
    rounds = (Round(tuple(Answer(name, "no") for name in names)),)
    one = ClosedCase(
        "", SYSTEM, "2026-03-04T07:31:05.123Z", "2026-03-04T09:00:00Z", "referred", Evidence(rounds)
    )
    for k in range(number):
        yield replace(one, id=f"invented-{k:09d}", followed_by=f"invented-{k}")


def timed(path: Path, fit: Fit | None, knowledge: Knowledge) -> tuple[float, int, float]:
    """Return seconds of the processor, the cases read, and the most memory in MiB."""
    begun = time.process_time()
    source = source_of(str(path), knowledge)
    if fit is not None:
        source = fitted(source, fit, Here(), weighed=False)
    counting = Counting()
    for part in source.parts():
        counting.add(part.read())
    return time.process_time() - begun, counting.tally.used, _most()


def _most() -> float:
    """Return the most memory that this process took, in MiB; Linux only."""
    status = Path("/proc/self/status").read_text().splitlines()
    (line,) = (each for each in status if each.startswith("VmHWM:"))
    return int(line.split()[1]) / 1024.0


def one(path: Path, *, held: bool) -> None:
    """Read a file and tell what it took."""
    knowledge = load(shipped_folder())
    fit = fit_to(knowledge, NOW) if held else None
    click.echo(json.dumps(timed(path, fit, knowledge)))


def main() -> None:
    """Tell what each way takes."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--cases", type=int, default=20_000)
    asked.add_argument("--read", type=Path)
    asked.add_argument("--held", action="store_true")
    given = asked.parse_args()
    if given.read:
        one(given.read, held=given.held)
        return
    knowledge = load(shipped_folder())
    click.echo(
        f"{'cases':>9} {'file':8} {'MiB':>6} {'write':>9} {'read':>9} {'held':>9} {'memory':>8}"
    )
    with tempfile.TemporaryDirectory() as folder:
        for number in (given.cases // 10, given.cases):
            for ending in ("jsonl", "parquet"):
                path = Path(folder) / f"{number}.{ending}"
                begun = time.process_time()
                write_cases(path, cases(knowledge, number))
                wrote = time.process_time() - begun
                read, held = (_apart(path, *more) for more in ((), ("--held",)))
                micro = [1e6 * seconds / number for seconds in (wrote, read[0], held[0])]
                size = path.stat().st_size / 2**20
                told = " ".join(f"{each:6.0f} us" for each in micro)
                click.echo(f"{number:9} {ending:8} {size:6.1f} {told} {held[2]:4.0f} MiB")


def _apart(path: Path, *more: str) -> tuple[float, int, float]:
    """Read in a process of its own, so that memory is its own."""
    command = [sys.executable, __file__, "--read", str(path), *more]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return msgspec.json.decode(done.stdout, type=tuple[float, int, float])


if __name__ == "__main__":
    main()
