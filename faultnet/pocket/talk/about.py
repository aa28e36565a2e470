"""`about`: what is carried along."""

import msgspec

from faultnet import __version__
from faultnet.pocket.talk.carried import Carried
from faultnet.shapes.version import SCHEMA_VERSION


class AboutAsked(msgspec.Struct, frozen=True):
    """Nothing is asked beside."""


class SystemCarried(msgspec.Struct, frozen=True):
    """A kind of installation."""

    id: str
    title: str
    about: str


class About(msgspec.Struct, frozen=True):
    """The version of faultnet and that of the knowledge, and the systems it holds."""

    schema_version: int
    faultnet: str
    knowledge: str
    systems: tuple[SystemCarried, ...]


def about(carried: Carried, _: AboutAsked) -> About:
    """Tell what is carried along."""
    systems = carried.knowledge.systems.values()
    return About(
        SCHEMA_VERSION,
        __version__,
        carried.knowledge.version,
        tuple(SystemCarried(each.id, each.title, each.about) for each in systems),
    )
