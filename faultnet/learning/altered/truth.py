"""What is so at the sites, and what the files know of it."""

from functools import cache
from pathlib import Path

import msgspec

from faultnet.advice.subject import Subject, call_network, make_subject
from faultnet.authoring.store import load
from faultnet.learning.altered.missing import without
from faultnet.learning.altered.noise import Noise
from faultnet.learning.altered.numbers import altered
from faultnet.model.knowledge import Knowledge


class Truth(msgspec.Struct, frozen=True):
    """The truth as it differs from a folder of knowledge: small, and the same everywhere.

    Without ``noise`` the authored numbers are right. The causes ``missing`` are there at the
    sites, and whoever thinks by the files knows nothing of them. The subjects are made once
    in a process.
    """

    folder: str
    system: str
    noise: Noise | None = None
    missing: tuple[str, ...] = ()

    def so(self) -> Subject:
        """Return the system as it is; every cause, and the numbers that are right."""
        return _so(self)

    def known(self) -> Subject:
        """Return the system as the files have it: authored numbers, the missing causes left out."""
        return _known(self)


@cache
def _so(truth: Truth) -> Subject:
    knowledge = load(Path(truth.folder))
    if truth.noise is None:
        return make_subject(knowledge, truth.system)
    return _made(altered(knowledge, truth.system, truth.noise), truth.system)


@cache
def _known(truth: Truth) -> Subject:
    knowledge = load(Path(truth.folder))
    if not truth.missing:
        return make_subject(knowledge, truth.system)
    return _made(without(knowledge, truth.missing), truth.system)


def _made(knowledge: Knowledge, system: str) -> Subject:
    """A subject that is kept in no cache: there are as many truths as draws."""
    entry = knowledge.systems[system]
    return Subject(knowledge, entry, call_network(knowledge, entry))
