"""What is so at the sites, and what the files know of it."""

from functools import cache
from pathlib import Path
from platform import node
from typing import Self

import msgspec

from faultnet.advice.subject import Subject, call_network, make_subject
from faultnet.authoring.problem import KnowledgeError
from faultnet.authoring.region import UnknownRegionError
from faultnet.authoring.store import load
from faultnet.learning.altered.missing import without
from faultnet.learning.altered.noise import Noise
from faultnet.learning.altered.numbers import altered
from faultnet.model.knowledge import Knowledge
from faultnet.sharing.trouble import SharingError


class OtherKnowledgeError(SharingError):
    """A folder holds other knowledge on this machine than where the work was begun."""

    kind = "other-knowledge"

    def __init__(self, folder: str, wanted: str, found: str, machine: str) -> None:
        """``found`` is the version that is there, empty where nothing can be read."""
        self.made_of = (folder, wanted, found, machine)
        there = f"holds version {found[:12]}" if found else "cannot be read"
        told = f"The knowledge in `{folder}` {there} on {machine}; version {wanted[:12]} was meant."
        mend = "Have the same files there on all machines, and the same FAULTNET_REGION"
        super().__init__(f"{told} {mend}; then start the workers again.")

    def __reduce__(self) -> tuple[type[Self], tuple[str, str, str, str]]:
        """It crosses as what it was made of."""
        return type(self), self.made_of


class Truth(msgspec.Struct, frozen=True):
    """The truth as it differs from a folder of knowledge: small, and the same everywhere.

    ``version`` is that of the knowledge; ``truth_of`` looks it up, and where the folder holds
    another one, on another machine or later, ``OtherKnowledgeError`` is raised.
    Without ``noise`` the authored numbers are right. The causes ``missing`` are there at the
    sites, and whoever thinks by the files knows nothing of them. The subjects are made once
    in a process.
    """

    folder: str
    system: str
    version: str
    noise: Noise | None = None
    missing: tuple[str, ...] = ()

    def so(self) -> Subject:
        """Return the system as it is; every cause, and the numbers that are right."""
        return _so(self)

    def known(self) -> Subject:
        """Return the system as the files have it: authored numbers, the missing causes left out."""
        return _known(self)


def truth_of(
    folder: str, system: str, noise: Noise | None = None, missing: tuple[str, ...] = ()
) -> Truth:
    """Return a truth about the knowledge that a folder holds now; raise ``KnowledgeError``."""
    return Truth(folder, system, load(Path(folder)).version, noise, missing)


@cache
def _so(truth: Truth) -> Subject:
    knowledge = _knowledge(truth)
    if truth.noise is None:
        return make_subject(knowledge, truth.system)
    return _made(altered(knowledge, truth.system, truth.noise), truth.system)


@cache
def _known(truth: Truth) -> Subject:
    knowledge = _knowledge(truth)
    if not truth.missing:
        return make_subject(knowledge, truth.system)
    return _made(without(knowledge, truth.missing), truth.system)


def _knowledge(truth: Truth) -> Knowledge:
    try:
        knowledge = load(Path(truth.folder))
    except (KnowledgeError, UnknownRegionError, OSError) as error:
        raise OtherKnowledgeError(truth.folder, truth.version, "", node()) from error
    if knowledge.version != truth.version:
        raise OtherKnowledgeError(truth.folder, truth.version, knowledge.version, node())
    return knowledge


def _made(knowledge: Knowledge, system: str) -> Subject:
    """A subject that is kept in no cache: there are as many truths as draws."""
    entry = knowledge.systems[system]
    return Subject(knowledge, entry, call_network(knowledge, entry))
