"""What stands beside the work: own words, pictures, the site and the case before."""

from faultnet.cases.event import Event


class Note(Event, frozen=True, tag="note"):
    """Somebody's own words, perhaps about something."""

    text: str
    about: str = ""


class CallTold(Event, frozen=True, tag="call-told"):
    """What was said for the call sheet about one of its fields; empty text leaves it blank."""

    field: str
    text: str


class Photo(Event, frozen=True, tag="photo"):
    """Where a picture lies; the picture itself is kept elsewhere."""

    reference: str
    text: str = ""
    about: str = ""


class AtSite(Event, frozen=True, tag="at-site"):
    """The case is one of this site; an empty id takes it from its site."""

    site: str


class Follows(Event, frozen=True, tag="follows"):
    """The case is a call-back of another."""

    case: str
