"""Calls about systems: what can be asked about, and what can be said of it."""

import msgspec

from faultnet.advice.subject import UnknownNameError
from faultnet.shapes.system import SayableShape, SystemShape, sayable_shape, system_shape
from faultnet.web.api.call import JSON, Call
from faultnet.web.api.problem import PREFIX, RefusedError
from faultnet.web.office import Office


class SystemsAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Nothing is asked but the list."""


class SystemAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which system."""

    id: str


class Systems(msgspec.Struct, frozen=True):
    """The systems, and the version of the knowledge that they stand in."""

    knowledge: str
    systems: tuple[SystemShape, ...]


def systems(office: Office, _: SystemsAsked) -> Systems:
    """List the systems that can be asked about.

    `knowledge` is the version of the files; a case keeps the one that it began with.
    """
    entries = office.knowledge.systems.values()
    return Systems(office.knowledge.version, tuple(map(system_shape, entries)))


def system(office: Office, asked: SystemAsked) -> SayableShape:
    """Tell what can be said of one system.

    Its layout, circumstances, findings with their answers, and readings with the units of
    their parts.
    """
    try:
        subject = office.subject(asked.id)
    except UnknownNameError as error:
        mend = error.hint or f"{PREFIX}/systems lists them."
        reason = f"There is no system `{asked.id[:80]}`."
        raise RefusedError("no-such-system", "path id", reason, mend) from None
    return sayable_shape(office.knowledge, subject.system, subject.findings)


CALLS = (
    Call("GET", "/systems", "systems", SystemsAsked, systems, {JSON: Systems}),
    Call(
        "GET",
        "/systems/{id}",
        "system",
        SystemAsked,
        system,
        {JSON: SayableShape},
        ("no-such-system",),
    ),
)
