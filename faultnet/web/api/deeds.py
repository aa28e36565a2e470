"""What the trail says of a call: on which cases, and what was done."""

import msgspec

from faultnet.accounts.trail import Deed
from faultnet.web.api.along import AlongAsked
from faultnet.web.api.cases import CaseAsked, ReportAsked
from faultnet.web.api.events import EventsAsked, EventsSent


def deeds(asked: msgspec.Struct) -> list[tuple[Deed, str]]:
    """Return what a call that was answered did, and to which case or site."""
    match asked:
        case AlongAsked(id=name, since=0):
            return [("case taken along", name)]
        case AlongAsked(id=name) | CaseAsked(id=name) | EventsAsked(log=name):
            return [("case looked at", name)]
        case ReportAsked(id=name):
            return [("case exported", name)]
        case EventsSent(entries=entries):
            return [("case written", log) for log in dict.fromkeys(each.log for each in entries)]
    return []
