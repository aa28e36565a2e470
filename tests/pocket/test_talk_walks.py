"""Whatever is replied, the pocket and the office hold the same visit."""

import random

import pytest

from faultnet.authoring.shipped import shipped_folder
from faultnet.pocket.talk.answering import Talking
from faultnet.web.office import Office
from faultnet.web.settings import Settings
from tests.pocket.walker import Clock, Walk

SYSTEMS = ("cistern-booster", "jet-pump-cistern", "jet-pump-shallow-well")


@pytest.fixture(scope="module")
def office(tmp_path_factory):
    patch = pytest.MonkeyPatch()
    folder = tmp_path_factory.mktemp("office")
    patch.setenv("FAULTNET_CACHE", str(folder / "cache"))
    office = Office(Settings(folder, shipped_folder(), f"sqlite:///{folder / 'cases.db'}"))
    yield office
    office.close()
    patch.undo()


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_visit_is_the_same_in_the_pocket_and_at_the_office(office, system):
    walk = Walk(office, Talking(office.knowledge, Clock()), system, random.Random(system))
    assert walk.walk(25)
    assert walk.told > 20
