"""The call about the board: open cases in the order in which somebody has to go."""

import msgspec

from faultnet.cases.site import site_of
from faultnet.desk.board import Next
from faultnet.shapes.cases import ListedShape, listed_shape
from faultnet.web.api.call import JSON, Call
from faultnet.web.office import Office
from faultnet.web.open_cases import Row, open_cases


class BoardAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Nothing is asked but the board."""


class UrgencyShape(msgspec.Struct, frozen=True):
    """How urgent a case is: a class from P0, the time in which somebody comes, and why."""

    id: str
    title: str
    target: str
    reason: str


class OnBoard(ListedShape, frozen=True):
    """An open case on the board.

    ``title`` is that of the system. ``next`` is what is due: the call goes on, a technician
    is waited for, one is at the pump, it rests; ``since`` is when it began, ``who`` who has
    it. Urgency, next and since are null where this server does not know the system.
    """

    title: str
    address: str | None
    urgency: UrgencyShape | None
    since: str | None
    next: Next | None
    who: str | None


class Board(msgspec.Struct, frozen=True):
    """The open cases, whoever has to be gone to first at the top."""

    cases: tuple[OnBoard, ...]


def board(office: Office, _: BoardAsked) -> Board:
    """List the open cases, whoever has to be gone to first at the top.

    It tells names and addresses, so it is for those who may see customers. To have a case
    along where there is no network, ask for GET /cases/{id}/along.
    """
    return Board(tuple(_on_board(office, row) for row in open_cases(office)))


def _on_board(office: Office, row: Row) -> OnBoard:
    case, waiting = row
    system = office.knowledge.systems.get(case.system)
    listed = msgspec.structs.asdict(listed_shape(case))
    site = site_of(case.site, office.read(case.site).entries) if case.site else None
    told = (waiting.name, waiting.address) if waiting else ("", "")
    name = (site.name if site else "") or told[0]
    address = (site.address if site else "") or told[1]
    return OnBoard(
        **listed | {"name": name or None},
        title=system.title if system else case.system,
        address=address or None,
        urgency=UrgencyShape(**msgspec.structs.asdict(waiting.urgency)) if waiting else None,
        since=waiting.since if waiting else None,
        next=waiting.next if waiting else None,
        who=(waiting.who if waiting else "") or None,
    )


CALLS = (Call("GET", "/board", "board", BoardAsked, board, {JSON: Board}, ("store",)),)
