"""--workers and --cluster: who does the work, and what is told where nobody does."""

import sys
from types import SimpleNamespace

import click
import pytest

from faultnet.cli import options, table
from faultnet.sharing.sharing import Here


@click.command("share")
@options.sharing
def share(sharing):
    """Add up on whoever is given."""
    click.echo(f"{sharing} {sum(sharing.each(abs, range(20)))}")


@pytest.fixture(autouse=True)
def _as_a_command(monkeypatch):
    monkeypatch.setitem(table.COMMANDS, "share", "Adds up.")
    monkeypatch.setitem(sys.modules, "faultnet.cli.share", SimpleNamespace(command=share))


def test_processes_here(faultnet):
    ran = faultnet("share", "--workers", "2")
    assert (ran.code, ran.out) == (0, f"{Here(2)} 190\n")


def test_a_cluster_is_asked_and_left(faultnet):
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=1,
        processes=False,
        protocol="tcp",
        host="127.0.0.1",
        dashboard_address="127.0.0.1:0",
        worker_dashboard_address=None,
        silence_logs=50,
    ) as running:
        ran = faultnet("share", "--cluster", running.scheduler_address)
        assert (ran.code, ran.err) == (0, "")
        assert ran.out.endswith(" 190\n")


def test_a_cluster_that_does_not_answer_is_told(faultnet):
    pytest.importorskip("distributed")
    ran = faultnet("share", "--cluster", "nowhere")
    assert ran.code == 1
    assert "No cluster at `nowhere`" in ran.err
    assert "docs/more-than-one-machine.md" in ran.err


def test_both_are_one_too_many(faultnet):
    ran = faultnet("share", "--cluster", "127.0.0.1:1", "--workers", "2")
    assert ran.code == 2
    assert "give one of them" in ran.err


def test_what_is_not_installed_is_named(faultnet, monkeypatch):
    monkeypatch.setitem(sys.modules, "dask", None)
    monkeypatch.setitem(sys.modules, "dask.config", None)
    ran = faultnet("share", "--cluster", "127.0.0.1:1")
    assert ran.code == 2
    assert "pip install 'faultnet[cluster]'" in ran.err
