"""Measure what more processes and more machines bring, and whether memory stays flat.

Run ``python bench/cluster.py``; it stops by itself and leaves nothing. The same imagined cases
are learnt from (one pass of expectation-maximisation), measured and tried by one process and by
two, then by one worker and by two of a Dask cluster on this machine; all must be the same
to the last bit, or it exits with 1. Then the minutes of a million cases are counted out of
Parquet (one file, read a hundred times), by two processes and by two workers, and their memory is
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
from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click

from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.learning.altered.truth import truth_of
from faultnet.learning.estimate.passing import Passing
from faultnet.learning.estimate.priors import ALL, Priors
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.learning.imagined.cases import ImaginedCases, recipe
from faultnet.learning.measures.measured import Asked, Measuring
from faultnet.learning.minutes.times import Counting, waits
from faultnet.learning.reading.parquet import ParquetSource
from faultnet.learning.reading.written import write_cases
from faultnet.learning.source import CasesAtHand
from faultnet.learning.trials.call import run_call
from faultnet.learning.trials.outcome import Outcome
from faultnet.learning.trials.policies.planned import Planned
from faultnet.sharing.sharing import Here, Sharing

SYSTEM = "jet-pump-cistern"
IN_PART = 5
"""Cases of a part where they are weighed."""
DISTINCT = 10_000
"""Imagined cases in the Parquet file, which is read as often as it takes."""
LOOKS = 10
"""How often memory is told on the way."""
PAGE = os.sysconf("SC_PAGE_SIZE")

Imagined = Callable[[int, int], ImaginedCases]
"""So many imagined cases, so many in a part."""


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


@dataclass(frozen=True)
class Trying:
    """Has the tool go about imagined calls by their numbers."""

    subject: Subject

    def __call__(self, number: int) -> Outcome:
        """Return what comes of a call."""
        return run_call(Planned(), self.subject, self.subject, 1, number)


@dataclass(frozen=True)
class Work:
    """What is done with how many cases in which parts; ``told`` is what must be alike."""

    name: str
    do: Callable[[Any], Any]
    cases: int
    parts: Sequence[Any]
    told: Callable[[Any], Any] = lambda answer: answer


def works(subject: Subject, imagined: Imagined, cases: int, calls: int) -> tuple[Work, ...]:
    """What the three commands spend their time on."""
    parts = [CasesAtHand(part.read().cases) for part in imagined(cases, IN_PART).parts()]
    unknowns = Unknowns(subject, ALL, Priors())
    passing = Passing(unknowns, unknowns.network)
    return (
        Work("learn, a pass", passing, cases, parts, lambda told: told.counts),
        Work("measure", Measuring(subject, Asked()), cases, parts),
        Work("trial", Trying(subject), calls, range(calls)),
    )


def rates(work: Work) -> bool:
    """Print how many cases a second are worked on; return whether all results were alike."""
    first, whole, alike = 0.0, b"", True
    for whom, workers, lend in CREWS:
        with lend(workers) as sharing:
            watched = Watched(deepcopy(work.do))  # none begins with what another has worked out
            start = time.perf_counter()
            seen = list(sharing.each(watched, work.parts))
            rate = work.cases / (time.perf_counter() - start)
        busy = 1e3 * sum(each.busy for each in seen) / work.cases
        same = as_bytes([work.told(each.answer) for each in seen])
        first, whole = first or rate, whole or same
        alike &= same == whole
        mark = "" if same == whole else "  ANOTHER RESULT"
        figures = f"{rate:7.2f} {rate / first:7.2f} {rate / workers:9.2f} {busy:12.1f} ms"
        click.echo(f"{work.name:15} {work.cases:5} {whom:17} {figures}{mark}")
    return alike


def as_bytes(answers: object) -> bytes:
    """Return what answers are, to the last bit, whatever of them is one object in memory."""
    stream = io.BytesIO()
    pickler = pickle.Pickler(stream)
    pickler.fast = True
    pickler.dump(answers)
    return stream.getvalue()


def memory(subject: Subject, imagined: Imagined, how_many: int, folder: Path) -> None:
    """Print the memory of each process while the cases of a file are counted, time and again."""
    path = folder / "cases.parquet"
    made = imagined(DISTINCT, IN_PART).parts()
    write_cases(path, (case for part in made for case in part.read().cases))
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
    ends = range(0, min(len(taken), step * LOOKS), step)
    tenths = [statistics.median(taken[k : k + step]) for k in ends]
    told = " ".join(f"{tenth / 2**20:5.0f}" for tenth in tenths)
    return f"{told}   last tenth / second {tenths[-1] / tenths[1]:.3f}"


def _own() -> float:
    """The most memory that this process ever had, in MiB."""
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print both."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cases", type=int, default=60, help="cases that are weighed")
    parser.add_argument("--counted", type=int, default=1_000_000, help="cases in the file")
    parser.add_argument("--calls", type=int, default=12, help="calls that are tried")
    asked = parser.parse_args()
    subject = make_subject(load(shipped_folder()), SYSTEM)
    made_of = recipe(truth_of(str(shipped_folder()), SYSTEM))

    def imagined(count: int, in_part: int) -> ImaginedCases:
        return ImaginedCases(made_of, count, in_part=in_part)

    alike = True
    if asked.cases:
        click.echo(f"imagined cases of {SYSTEM}")
        click.echo(
            "what            cases by whom          a second  of one  per core  busy for each"
        )
        found = list(map(rates, works(subject, imagined, asked.cases, asked.calls)))
        alike = all(found)
    if asked.counted:
        with tempfile.TemporaryDirectory(prefix="faultnet-bench-") as folder:
            memory(subject, imagined, asked.counted, Path(folder))
    sys.exit(0 if alike else 1)


if __name__ == "__main__":
    main()
