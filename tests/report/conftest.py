"""An invented case in an invented valley, as its people wrote it."""

from pathlib import Path

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.cases import events as e
from faultnet.cases.site import site_of
from tests.cases.people import Clock, Person

WORLD = Path(__file__).parents[1] / "visit" / "knowledge"
SITE = e.Named(name="Mill at Orquay", address="Weir Lane 3 (invented)", contact="0 00 11")


@pytest.fixture(scope="session")
def small(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
        knowledge, _ = read_knowledge(WORLD)
        return make_subject(knowledge, "small-pump")


def site():
    """Return who keeps the site, and what is kept."""
    rosa = Person("Rosa")
    rosa.opens(e.SiteBegun("small-pump"))
    rosa.writes(SITE, e.Setting("cut-in", 30, "psi"))
    return rosa, site_of(rosa.seen[0].log, rosa.seen)


def called(site_id="", **opened):
    """Return the dispatcher who took the call, and the technician who has heard of it."""
    rosa = Person("Rosa", Clock())
    rosa.opens(e.Opened("small-pump", "caller", "caller", site=site_id, **opened))
    rosa.writes(
        e.Denied(("tingle", "someone-in-pit")),
        e.Told("never-stops", "yes"),
        e.DangerMet("never-stops", "yes"),
        e.MadeSafe("never-stops"),
        e.Told("no-water", "no"),
        e.Told("after-freeze", "yes"),
        e.Note("Ring twice, the dog is deaf", "never-stops"),
    )
    bruno = Person("Bruno", rosa.writer.clock)
    bruno.hears(rosa)
    return rosa, bruno


def mends(bruno, *, proof="yes"):
    """Have the technician find the valve leaking, renew it and prove it."""
    bruno.writes(
        e.Joined(),
        e.Told("check-valve", "foot"),
        e.StepBegun("hold-test"),
        e.SetUpMade(("house-valve-shut",)),
        e.StepDone("hold-test"),
        e.Told("gauge-falls", "yes"),
        e.Measured("hold", {"start": 50, "end": 41, "minutes": 15}),
        e.StepBegun("renew-valve"),
        e.RepairDone("renew-valve"),
        e.Works(works=True),
        e.Told("never-stops", "no"),
        e.Measured("hold", {"start": 50, "end": 49.5, "minutes": 15}),
        e.SetUpUndone(("house-valve-shut",)),
        e.Proved(proof),
        e.Ended("mended" if proof == "yes" else "mended-proof-open"),
    )


@pytest.fixture
def mended():
    """Return the entries of a case that was told, found, mended and proved; and its site."""
    _, kept = site()
    _, bruno = called(kept.id)
    mends(bruno)
    return bruno.seen, kept
