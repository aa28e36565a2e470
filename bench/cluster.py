"""Measure what more processes and more machines bring, and whether memory stays flat.

Run ``python bench/cluster.py``; it stops by itself and leaves nothing. The same imagined cases
are learnt from (one pass of expectation-maximisation) and measured by one process and by two,
then by one worker and by two of a Dask cluster on this machine; the results must be the same
to the last bit, or it exits with 1. Then the minutes of a million cases are counted out of
Parquet (one file, read fifty times), by two processes and by two workers, and their memory is
noted along the way.
Seconds of the processor count on a machine that others use too. Linux only: memory is read
from /proc. Needs ``faultnet[cluster]`` and pyarrow.
"""

import argparse
import contextlib
import io
import os
import pickle
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click

from faultnet.advice.imagined import generator_of, imagine
from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.learning.closed import ClosedCase, Confirmation, StepTaken
from faultnet.learning.estimate.passing import Passing
from faultnet.learning.estimate.priors import ALL, Priors
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.learning.measures.measured import Asked, Measuring
from faultnet.learning.minutes.times import Counting, waits
from faultnet.learning.reading.parquet import ParquetSource
from faultnet.learning.reading.written import write_cases
from faultnet.learning.source import CasesAtHand
from faultnet.sharing.sharing import Here, Sharing

SYSTEM = "jet-pump-cistern"
IN_PART = 10
"""Cases of a part where they are weighed."""
DISTINCT = 20_000
"""Imagined cases in the Parquet file, which is read as often as it takes."""
LOOKS = 10
"""How often memory is told on the way."""
PAGE = os.sysconf("SC_PAGE_SIZE")


@dataclass(frozen=True)
class Seen:
    """What came of a part, and of the process that did it: seconds of processor, memory."""

    process: int
    busy: float
    memory: int
    answer: Any


@dataclass(frozen=True)
class Watched:
    """Does what it is given, and looks at its own process."""

    do: Callable[[Any], Any]

    def __call__(self, part: object) -> Seen:
        """Return what came of a part, with what it took."""
        start = time.process_time()
        answer = self.do(part)
        resident = int(Path("/proc/self/statm").read_text("ascii").split()[1])
        return Seen(os.getpid(), time.process_time() - start, resident * PAGE, answer)


@contextlib.contextmanager
def on_dask(workers: int) -> Iterator[Sharing]:
    """Lend a cluster of this machine, reached by loopback alone."""
    from distributed import LocalCluster

    from faultnet.sharing.cluster import OnCluster

    with (
        LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            host="127.0.0.1",
            dashboard_address="127.0.0.1:0",
            worker_dashboard_address=None,
            silence_logs=50,
        ) as cluster,
        OnCluster(cluster.scheduler_address) as sharing,
    ):
        yield sharing


@contextlib.contextmanager
def here(workers: int) -> Iterator[Sharing]:
    """Lend processes of this machine."""
    yield Here(workers)


CREWS = (
    ("one process", 1, here),
    ("two processes", 2, here),
    ("one Dask worker", 1, on_dask),
    ("two Dask workers", 2, on_dask),
)


def imagined(subject: Subject, numbers: Iterable[int]) -> Iterator[ClosedCase]:
    """Yield closed cases of imagined calls: what was at fault is confirmed, a check was timed."""
    checks = sorted(subject.knowledge.checks)
    for number in numbers:
        call = imagine(subject, 1, number)
        rng = generator_of(2, number)
        steps = tuple(
            StepTaken(checks[k], "check", minutes=float(rng.lognormal(2.0, 0.5)))
            for k in rng.choice(len(checks), 4, replace=False)
        )
        yield ClosedCase(
            f"invented-{number}",
            call.system,
            "2026-01-01T08:00:00Z",
            "2026-01-01T10:00:00Z",
            "mended",
            call.evidence,
            tuple(map(Confirmation, call.causes)),
            steps,
        )


def rates(subject: Subject, how_many: int) -> bool:
    """Print how many cases a second are weighed; return whether all results were alike."""
    cases = tuple(imagined(subject, range(how_many)))
    parts = [CasesAtHand(cases[k : k + IN_PART]) for k in range(0, how_many, IN_PART)]
    unknowns = Unknowns(subject, ALL, Priors())
    works = {
        "learn, a pass": (Passing(unknowns, unknowns.network), lambda told: told.counts),
        "measure": (Measuring(subject, Asked()), lambda sums: sums),
    }
    alike = True
    click.echo(f"{how_many} imagined cases of {SYSTEM}, parts of {IN_PART}")
    click.echo("what             by whom            cases/s  of one  per core  processor/case")
    for name, (do, told) in works.items():
        first, whole = 0.0, b""
        for whom, workers, lend in CREWS:
            with lend(workers) as sharing:
                start = time.perf_counter()
                seen = list(sharing.each(Watched(do), parts))
                rate = how_many / (time.perf_counter() - start)
            busy = sum(each.busy for each in seen) / how_many
            first = first or rate
            same = as_bytes([told(each.answer) for each in seen])
            whole = whole or same
            alike &= same == whole
            mark = "" if same == whole else "  ANOTHER RESULT"
            figures = f"{rate:7.1f} {rate / first:7.2f} {rate / workers:9.1f} {busy * 1e3:12.1f} ms"
            click.echo(f"{name:16} {whom:17} {figures}{mark}")
    return alike


def as_bytes(answers: object) -> bytes:
    """Return what answers are, to the last bit, whatever of them is one object in memory."""
    stream = io.BytesIO()
    pickler = pickle.Pickler(stream)
    pickler.fast = True
    pickler.dump(answers)
    return stream.getvalue()


def memory(subject: Subject, how_many: int, folder: Path) -> None:
    """Print the memory of each process while the cases of a file are counted, time and again."""
    path = folder / "cases.parquet"
    write_cases(path, imagined(subject, range(DISTINCT)))
    parts = ParquetSource(str(path)).parts() * (how_many // DISTINCT)
    how_many = DISTINCT * (how_many // DISTINCT)
    click.echo(f"\n{how_many:,} cases in {len(parts):,} parts of Parquet, read where they are")
    click.echo("counted; MiB of each process on the way")
    for whom, workers, lend in CREWS[1::2]:
        with lend(workers) as sharing:
            start = time.perf_counter()
            watched = Watched(Counting(waits(subject.knowledge)))
            seen = [
                replace(each, answer=each.answer.cases) for each in sharing.each(watched, parts)
            ]
            seconds = time.perf_counter() - start
        assert sum(each.answer for each in seen) == how_many
        click.echo(f"{whom}: {how_many / seconds:,.0f} cases/s; who asks {_own():.0f} MiB at most")
        for process in sorted({each.process for each in seen}):
            click.echo(f"  {_along([e.memory for e in seen if e.process == process])}")


def _along(taken: Sequence[int]) -> str:
    """The median of each tenth of the way, and how much the last is of the second."""
    step = max(1, len(taken) // LOOKS)
    tenths = [statistics.median(taken[k : k + step]) for k in range(0, step * LOOKS, step)]
    told = " ".join(f"{tenth / 2**20:5.0f}" for tenth in tenths)
    return f"{told}   last tenth / second {tenths[-1] / tenths[1]:.3f}"


def _own() -> float:
    """The most memory that this process ever had, in MiB."""
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print both."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cases", type=int, default=400, help="cases that are weighed")
    parser.add_argument("--counted", type=int, default=1_000_000, help="cases in the file")
    asked = parser.parse_args()
    subject = make_subject(load(shipped_folder()), SYSTEM)
    alike = rates(subject, asked.cases) if asked.cases else True
    if asked.counted:
        with tempfile.TemporaryDirectory(prefix="faultnet-bench-") as folder:
            memory(subject, asked.counted, Path(folder))
    sys.exit(0 if alike else 1)


if __name__ == "__main__":
    main()
