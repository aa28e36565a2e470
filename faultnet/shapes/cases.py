"""Cases: as they are listed, and where one stands."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import msgspec

from faultnet.cases.events import AnyEvent
from faultnet.shapes.evidence import EvidenceShape, evidence_shape

if TYPE_CHECKING:
    from faultnet.cases.case import Case, Conflict
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Log


class ListedShape(msgspec.Struct, frozen=True):
    """A case or a site as it is listed; ``events`` counts what is kept of it."""

    id: str
    system: str | None
    site: str | None
    name: str | None
    ended: str | None
    begun: str
    touched: str
    author: str
    events: int
    purged: str | None


class VoiceShape(msgspec.Struct, frozen=True):
    """One of several things said: who wrote it, whose word it is, what, when."""

    author: str
    by: str
    value: str
    at: str


class DifferingShape(msgspec.Struct, frozen=True):
    """What people said differently without having seen each other's.

    ``round`` counts from 1; it is null for what holds in every round.
    """

    about: str
    round: int | None
    said: tuple[VoiceShape, ...]


class ApartShape(msgspec.Struct, frozen=True):
    """What people did without having seen each other's, by the ids of its entries.

    ``closed``: one closed the case while others went on; ``mended``: each of them ended the
    round; ``undone``: one undid the entry ``of`` that others had gone on from.
    """

    kind: str
    done: tuple[str, ...]
    of: str | None


class CaseShape(msgspec.Struct, frozen=True):
    """Where a case stands.

    ``unread`` events are damaged or of a newer faultnet, ``unfit`` ones no longer fit the
    knowledge, ``missing`` ones were seen by somebody and have not arrived.
    """

    id: str
    system: str
    site: str | None
    follows: tuple[str, ...]
    ended: str | None
    begun: str
    touched: str
    author: str
    events: int
    unread: int
    unfit: int
    missing: int
    evidence: EvidenceShape
    conflicts: tuple[DifferingShape, ...]
    apart: tuple[ApartShape, ...]


class LoggedShape(msgspec.Struct, frozen=True):
    """An event as it was written down; whether it counts, and in which round (from 1)."""

    id: str
    log: str
    author: str
    at: str
    number: int
    after: tuple[str, ...]
    event: AnyEvent
    counts: bool
    round: int | None


class CaseLogShape(CaseShape, frozen=True):
    """Where a case stands, with all of its events in order."""

    log: tuple[LoggedShape, ...]


def listed_shape(each: "Listed") -> ListedShape:
    """Return a case or a site as it is listed."""
    return ListedShape(
        id=each.id,
        system=each.system or None,
        site=each.site or None,
        name=each.name or None,
        ended=each.ended or None,
        begun=each.begun,
        touched=each.touched,
        author=each.author,
        events=each.entries,
        purged=each.purged or None,
    )


def case_shape(case: "Case", log: "Log") -> CaseShape:
    """Return where a case stands."""
    return CaseShape(
        id=case.id,
        system=case.system,
        site=case.site or None,
        follows=case.follows,
        ended=case.ended or None,
        begun=case.begun,
        touched=case.touched,
        author=case.last,
        events=len(log.entries),
        unread=log.unread,
        unfit=case.unfit,
        missing=case.missing,
        evidence=evidence_shape(case.evidence),
        conflicts=conflicts_shape(case.conflicts),
        apart=tuple(
            ApartShape(each.kind, tuple(e.id for e in each.done), each.of.id if each.of else None)
            for each in case.apart
        ),
    )


def case_log_shape(case: "Case", log: "Log") -> CaseLogShape:
    """Return where a case stands, with its events."""
    return CaseLogShape(**msgspec.structs.asdict(case_shape(case, log)), log=_logged(case, log))


def conflicts_shape(conflicts: "Iterable[Conflict]") -> tuple[DifferingShape, ...]:
    """Return what was said differently by people who had not seen each other's."""
    return tuple(
        DifferingShape(
            conflict.about,
            None if conflict.round is None else conflict.round + 1,
            tuple(VoiceShape(v.author, v.speaker, v.value, v.at) for v in conflict.said),
        )
        for conflict in conflicts
    )


def _logged(case: "Case", log: "Log") -> tuple[LoggedShape, ...]:
    from faultnet.cases.order import order_of

    rounds = {each.entry.id: each.round + 1 for each in case.entries}
    return tuple(
        LoggedShape(
            **msgspec.structs.asdict(entry),
            counts=entry.id in rounds,
            round=rounds.get(entry.id),
        )
        for entry in order_of(log.entries).entries
    )
