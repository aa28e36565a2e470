"""Work on a Dask cluster of this machine: the same bytes, whoever dies, and clear refusals."""

import operator
import os
import platform
import shutil
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from threading import Thread

import pytest

from faultnet.advice.subject import UnknownNameError
from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.lines import LinesSource
from faultnet.learning.reading.parquet import ParquetSource
from faultnet.learning.reading.written import write_cases
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.sharing.alike import alike
from faultnet.sharing.cluster import OnCluster
from faultnet.sharing.sharing import Here
from faultnet.sharing.sums import added_up
from faultnet.sharing.trouble import NoClusterError, UnlikeError, WorkerDiedError
from tests.sharing.conftest import BARE
from tests.sharing.work import DiesOnce, Products, Sums, dies, threads, whose_slowly

distributed = pytest.importorskip("distributed")
ROOT = Path(__file__).parents[2]


@pytest.fixture
def small():
    """A cluster of one thread in this process."""
    with distributed.LocalCluster(n_workers=1, processes=False, protocol="tcp", **BARE) as running:
        yield running


def total(sharing, do):
    return added_up(sharing, do, range(60), operator.add).tobytes()


@pytest.mark.parametrize("kind", [Sums, Products])
def test_the_same_bytes_whoever_answers(on_two, small, kind):
    alone = total(Here(1), kind(7))
    assert total(Here(2), kind(7)) == alone
    assert total(on_two, kind(7)) == alone
    with OnCluster(small.scheduler_address) as on_one:
        assert total(on_one, kind(7)) == alone
    assert total(Here(1), kind(8)) != alone


@pytest.mark.parametrize("sharing", ["here", "cluster"])
def test_a_worker_killed_in_the_middle_costs_nothing_but_time(on_two, tmp_path, sharing):
    do = DiesOnce(31, tmp_path / "died", Sums(7))
    assert total(on_two if sharing == "cluster" else Here(2), do) == total(Here(1), Sums(7))
    assert (tmp_path / "died").exists()


def test_answers_come_in_the_order_asked_by_both_workers(on_two):
    found = list(on_two.each(whose_slowly, range(40)))
    assert [number for number, _ in found] == list(range(40))
    assert len({by for _, by in found} - {os.getpid()}) == 2


def test_a_million_questions_do_not_sit_in_the_scheduler(on_two):
    taken = []
    found = on_two.each(whose_slowly, (taken.append(k) or k for k in range(10**6)))
    for _ in range(5):
        next(found)
    assert len(taken) < 100
    assert 0 < tasks(on_two) < 20
    found.close()
    late = time.monotonic() + 20
    while tasks(on_two) and time.monotonic() < late:
        time.sleep(0.05)
    assert tasks(on_two) == 0


def tasks(sharing):
    return sharing._connection().run_on_scheduler(lambda dask_scheduler: len(dask_scheduler.tasks))


def test_questions_that_look_like_work_for_dask_are_handed_on_as_they_are(on_two):
    asked = [(abs, -1), {"a": [1]}, "faultnet"]
    assert list(on_two.each(repr, asked)) == [repr(each) for each in asked]


def fails(number):
    if number == 13:
        raise UnknownNameError("cause", "thirteen", [])
    return number


def test_what_a_worker_raises_is_raised_here_and_the_part_is_told(on_two):
    found = on_two.each(fails, range(40))
    assert [next(found) for _ in range(13)] == list(range(13))
    with pytest.raises(UnknownNameError, match="thirteen") as raised:
        next(found)
    assert "Part 14 of the work: 13" in raised.value.__notes__[0]


def test_a_part_that_always_kills_its_worker_is_named():
    """What waited for the same worker is not blamed, though Dask blames it too."""
    import dask.config

    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 0}),
        distributed.LocalCluster(n_workers=1, processes=True, **BARE) as running,
        OnCluster(running.scheduler_address) as sharing,
        pytest.raises(WorkerDiedError, match=r"Part 6 of the work \(5\) ended .*memory"),
    ):
        list(sharing.each(dies, range(40)))


@pytest.mark.parametrize("ending", ["jsonl", "parquet"])
def test_a_part_of_a_source_is_read_on_the_worker(on_two, tmp_path, ending):
    pytest.importorskip("pyarrow")
    path = tmp_path / f"cases.{ending}"
    write_cases(path, (a_case(number) for number in range(2500)))
    parts = read(path).parts()
    here = [part.read() for part in parts]
    assert len(parts) > 1
    assert sum(len(batch.cases) for batch in here) == 2500
    assert list(on_two.each(type(parts[0]).read, parts)) == here


def a_case(number):
    time_of_day = f"2026-01-01T0{number % 10}:00:00Z"
    known = Evidence((Round((Answer("prime-falls", "slowly", "caller"),)),))
    return ClosedCase(f"invented-{number}", "jet-pump", time_of_day, time_of_day, "mended", known)


def read(path):
    return ParquetSource(str(path)) if path.suffix == ".parquet" else LinesSource(str(path))


@pytest.fixture
def silent():
    """An address where somebody listens and never answers."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield f"127.0.0.1:{server.getsockname()[1]}"


@pytest.mark.parametrize(
    ("address", "reason"),
    [
        ("127.0.0.1:1", r"nobody answered.*Start `dask scheduler` there"),
        ("somewhere", r"`somewhere`: this is no address.*HOST:PORT"),
        ("pigeon://coop:1", "this is no address"),
        ("tls://127.0.0.1:1", r"no certificates are known.*distributed\.comm\.tls"),
        (None, "nobody answered"),
    ],
)
def test_an_address_that_does_not_answer_is_told_in_seconds(monkeypatch, silent, address, reason):
    monkeypatch.setattr("faultnet.sharing.connection.ANSWERING", 0.5)
    with pytest.raises(NoClusterError, match=reason):
        list(OnCluster(address or silent).each(abs, [1, 2]))


def test_what_speaks_another_language_is_told():
    with socket.create_server(("127.0.0.1", 0)) as server:
        Thread(target=hang_up, args=(server,), daemon=True).start()
        with pytest.raises(NoClusterError, match="no Dask scheduler, or one that wants tls://"):
            OnCluster(f"127.0.0.1:{server.getsockname()[1]}").__enter__()


def hang_up(server):
    caller, _ = server.accept()
    caller.sendall(b"HTTP/1.1 400 Bad Request\r\n\r\n" * 9)
    caller.close()


def test_what_is_no_scheduler_is_told(small):
    worker = next(iter(small.workers.values())).address
    with pytest.raises(NoClusterError, match="a Dask worker answers there"):
        OnCluster(worker).__enter__()


def test_a_cluster_without_workers_is_told(monkeypatch):
    monkeypatch.setattr("faultnet.sharing.connection.ANSWERING", 0.5)
    empty = distributed.LocalCluster(n_workers=0, processes=False, protocol="tcp", **BARE)
    with empty, pytest.raises(NoClusterError, match=r"no workers.*dask worker"):
        OnCluster(empty.scheduler_address).__enter__()


def test_workers_that_all_leave_are_missed(small, monkeypatch):
    monkeypatch.setattr("faultnet.sharing.cluster.ALONE", 0.5)
    monkeypatch.setattr("faultnet.sharing.cluster.LOOK", 0.1)
    with OnCluster(small.scheduler_address) as sharing:
        found = sharing.each(whose_slowly, range(1000))
        next(found)
        small.scale(0)
        with pytest.raises(NoClusterError, match="has had no workers"):
            list(found)


def test_a_scheduler_that_goes_away_is_told(small):
    sharing = OnCluster(small.scheduler_address)
    found = sharing.each(whose_slowly, range(1000))
    next(found)
    small.close()
    with pytest.raises(NoClusterError, match="went away"):
        list(found)
    sharing.close()


@pytest.fixture
def joined():
    """Have a worker join a cluster from a folder, without Dask's nanny, in an environment."""
    started = []

    def join(cluster, folder=ROOT, **environment):
        address, there = cluster.scheduler_address, len(cluster.scheduler_info["workers"])
        command = (sys.executable, "-m", "dask", "worker", address, "--nthreads", "1")
        started.append(
            subprocess.Popen(
                [*command, "--no-dashboard", "--no-nanny"],
                cwd=folder,
                env=os.environ | environment,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
        )
        late = time.monotonic() + 30
        while len(cluster.scheduler_info["workers"]) == there and time.monotonic() < late:
            time.sleep(0.05)

    yield join
    for process in started:
        process.terminate()
        process.wait()


def test_a_worker_with_another_version_is_refused_early_and_late(small, joined, tmp_path):
    shutil.copytree(ROOT / "faultnet", tmp_path / "faultnet")
    (tmp_path / "faultnet" / "new.py").write_text("'''New.'''\n")
    with OnCluster(small.scheduler_address) as sharing:
        joined(small, tmp_path)
        reason = r"tcp://127\.0\.0\.1:\d+ runs other versions: the code of faultnet is \w+ there"
        with pytest.raises(UnlikeError, match=reason):
            list(sharing.each(whose_slowly, range(200)))
    with pytest.raises(UnlikeError, match="Install the same versions"):
        OnCluster(small.scheduler_address).__enter__()


def test_matrices_are_multiplied_by_one_thread_everywhere(small, joined):
    """Dask's nanny sees to it, but not every worker has one; alone, NumPy takes all processors."""
    joined(small, OPENBLAS_NUM_THREADS="2")
    alone = total(Here(1), Products(7))
    with OnCluster(small.scheduler_address) as sharing:
        sharing._connection().retire_workers([worker.address for worker in small.workers.values()])
        assert list(sharing.each(threads, range(3))) == [1, 1, 1]
        assert total(sharing, Products(7)) == alone
    assert list(Here(2).each(threads, range(3))) == [1, 1, 1]
    assert list(Here(1).each(threads, range(3))) == [1, 1, 1]


@pytest.mark.skipif(platform.machine() not in {"x86_64", "AMD64"}, reason="names one processor")
@pytest.mark.parametrize(
    ("setting", "kind", "reason"),
    [
        ("OPENBLAS_CORETYPE", "Nehalem", "the library that multiplies matrices is .*"),
        ("NPY_DISABLE_CPU_FEATURES", None, "what NumPy uses of the processor is"),
    ],
)
def test_a_worker_whose_processor_reckons_otherwise_is_refused(
    small, joined, setting, kind, reason
):
    """With another kernel, or other vectors, the last digit may be another."""
    joined(small, **{setting: kind or alike().vectors})
    with pytest.raises(UnlikeError, match=f"{reason}.* set alike on all"):
        OnCluster(small.scheduler_address).__enter__()


ASKING = """
import os, sys, time
from faultnet.sharing.alike import alike
from faultnet.sharing.cluster import OnCluster
def slow(number):
    time.sleep(0.2)
with OnCluster(sys.argv[1]) as sharing:
    found = sharing.each(slow, range(1000))
    next(found)
    os.write(1, b"asked\\n")
    list(found)
"""


def test_an_interruption_ends_the_asking_and_dask_is_silent(small):
    asking = subprocess.Popen(
        [sys.executable, "-c", ASKING, small.scheduler_address],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert asking.stdout.readline() == "asked\n"
    asking.send_signal(signal.SIGINT)
    told = asking.communicate(timeout=20)[1]
    assert told.rstrip().endswith("KeyboardInterrupt")
    assert "distributed -" not in told
    assert " - ERROR" not in told
