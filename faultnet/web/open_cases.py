"""The open cases as the board shows them: what was told, folded once for each change."""

from msgspec.structs import replace

from faultnet.advice.subject import UnknownNameError
from faultnet.cases.store.listing import Listed
from faultnet.desk.board import Waiting, in_order, waiting
from faultnet.web.office import Office

Row = tuple[Listed, Waiting | None]
"""A case, and where it stands on the board; None where its system is not in the knowledge."""


def open_cases(office: Office) -> list[Row]:
    """Return the open cases, whoever has to be gone to first at the top; raise ``StoreError``."""
    listed = {each.id: each for each in office.cases(ended=False)}
    standing = {name: _standing(office, each) for name, each in listed.items()}
    for key in [key for key in tuple(office.standings) if key[0] not in listed]:
        office.standings.pop(key, None)
    rows: list[Row] = [
        (listed[each.case], each) for each in in_order(filter(None, standing.values()))
    ]
    return rows + [(each, None) for each in listed.values() if standing[each.id] is None]


def _standing(office: Office, listed: Listed) -> Waiting | None:
    """Return where a case stands; it is folded anew only when something was written to it."""
    key = listed.id, office.customer
    state = f"{listed.entries} {listed.touched} {listed.purged}"
    before, standing = office.standings.get(key, ("", None))
    if before != state:
        standing = _folded(office, listed)
        office.standings[key] = state, standing
    return standing


def _folded(office: Office, listed: Listed) -> Waiting | None:
    try:
        subject = office.subject(listed.system)
    except UnknownNameError:
        return None
    found = waiting(subject, office.store.read(listed.id).entries)
    if found is None or office.customer:
        return found
    # The class counts all that was told; its reason, read by strangers, tells of no people.
    told = waiting(subject, office.read(listed.id).entries)
    reason = told.urgency.reason if told else ""
    return replace(
        found, site="", name="", address="", urgency=replace(found.urgency, reason=reason)
    )
