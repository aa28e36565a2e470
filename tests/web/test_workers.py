"""Several workers over one PostgreSQL server: one store, one login, nothing lost, and they stop."""

import os
import re
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import httpx
import msgspec
import pytest

from faultnet.cases.entry import Writer
from faultnet.cases.events import Note, Opened
from tests.cli.conftest import ROOT

PATIENCE = 60.0
MANY = 24


@pytest.fixture
def database(server, request):
    return server.new_database(f"workers_{request.node.name[5:30]}")


@contextmanager
def serving(store, *more):
    """Run the command with two workers; yield its address and the process."""
    words = [sys.executable, "-m", "faultnet", "serve", "--port", "0", "--workers", "2", *more]
    place = {**os.environ, "FAULTNET_STORE": store}
    with subprocess.Popen(words, cwd=ROOT, env=place, stdout=subprocess.PIPE, text=True) as running:
        try:
            told = running.stdout.readline()
            yield re.search(r"http://\S+\d", told)[0], running
        finally:
            running.send_signal(signal.SIGTERM)
            running.wait(PATIENCE)


def test_workers_share_the_store_and_stop_when_told(database):
    with serving(database) as (address, running):
        ports = httpx.HTTPTransport(retries=20)
        with httpx.Client(base_url=address, timeout=PATIENCE, transport=ports) as http:
            writer = Writer("anna@here")
            first = writer.begin(Opened("jet-pump-cistern"))
            assert _sent(http, first).status_code == 200

            def note(number):
                own = Writer(f"hand-{number}@here").entry(
                    first.log, Note(f"note {number}"), (first,)
                )
                with httpx.Client(base_url=address, timeout=PATIENCE) as another:
                    return own.id, _sent(another, own).status_code

            with ThreadPoolExecutor(8) as hands:
                written = list(hands.map(note, range(MANY)))
            assert {status for _, status in written} == {200}
            kept = http.get("/api/v1/events", params={"log": first.log}).json()["entries"]
            ids = [each["id"] for each in kept]
            assert sorted(ids) == sorted([first.id, *(name for name, _ in written)])
    assert running.returncode == 0


def test_whoever_listens_to_a_worker_hears_the_end(database):
    with serving(database) as (address, running):
        first = Writer("anna@here").begin(Opened("jet-pump-cistern"))
        ports = httpx.HTTPTransport(retries=20)
        with httpx.Client(base_url=address, timeout=PATIENCE, transport=ports) as http:
            assert _sent(http, first).status_code == 200
            with http.stream("GET", f"/cases/{first.log}/live") as told:
                lines = told.iter_lines()
                assert next(lines).startswith("retry:")
                running.send_signal(signal.SIGTERM)
                list(lines)  # whole, not broken off: httpx would raise
    assert running.returncode == 0


def _sent(http, entry):
    return http.post("/api/v1/events", json={"entries": [msgspec.to_builtins(entry)]})


def test_a_file_has_one_worker(tmp_path):
    words = [sys.executable, "-m", "faultnet", "serve", "--port", "0", "--workers", "2"]
    place = {**os.environ, "FAULTNET_STORE": f"sqlite:///{tmp_path / 'cases.db'}"}
    done = subprocess.run(
        words, cwd=ROOT, env=place, capture_output=True, text=True, timeout=PATIENCE, check=False
    )
    assert done.returncode == 2
    assert "Several workers need a PostgreSQL server" in done.stderr
