"""Where a site stands: who and where, its layout and settings, its cases, its readings."""

from collections.abc import Iterable

import msgspec

from faultnet.cases import events as e
from faultnet.cases.case import Case, Conflict, Voice
from faultnet.cases.claims import Claim, Claims
from faultnet.cases.counting import counting
from faultnet.cases.entry import Entry
from faultnet.cases.order import Order, order_of

FIELDS = ("name", "address", "contact", "speaker")
"""Customer data."""


class Setting(msgspec.Struct, frozen=True):
    """A setting with its unit, and when it was asked or measured."""

    value: float
    unit: str
    at: str


class Reading(msgspec.Struct, frozen=True):
    """A reading that was taken at a site, in a case and a round (from 0)."""

    at: str
    case: str
    round: int
    reading: str
    parts: dict[str, float]


class Site(msgspec.Struct, frozen=True):
    """A place where a system stands; the layout is the latest of site and cases.

    ``cases`` and ``readings`` are in order of time.
    """

    id: str
    system: str = ""
    name: str = ""
    address: str = ""
    contact: str = ""
    speaker: str = ""
    layout: dict[str, str] = {}
    settings: dict[str, Setting] = {}
    notes: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    cases: tuple[Case, ...] = ()
    readings: tuple[Reading, ...] = ()


def site_of(name: str, entries: Iterable[Entry], cases: Iterable[Case] = ()) -> Site:
    """Return where a site stands after its entries and those of its cases."""
    by_time = tuple(sorted(cases, key=lambda case: (case.begun, case.id)))
    folding = _Folding(order_of(entries))
    told = folding.layout()
    for case in by_time:
        for each in case.entries:
            if isinstance(each.entry.event, e.Told):
                about, answer = each.entry.event.about, each.entry.event.answer
                stands = case.evidence.layout.get(about) == answer
                if stands and each.entry.at >= told.get(about, ("", ""))[0]:
                    told[about] = each.entry.at, answer
    customer = {field: folding.latest(field) for field in FIELDS}
    return Site(
        name,
        system=folding.system or next((c.system for c in by_time), ""),
        **customer,
        layout={about: value for about, (_, value) in sorted(told.items())},
        settings=folding.settings,
        notes=tuple(folding.notes),
        conflicts=folding.conflicts(),
        cases=by_time,
        readings=_readings(by_time),
    )


def begun_at(site: Site, opened: e.Opened) -> e.Opened:
    """Return the first event of a case at a site: its layout and settings are known."""
    settings = {name: f"{s.value:g}{s.unit}" for name, s in site.settings.items()}
    system = opened.system or site.system
    return msgspec.structs.replace(
        opened, system=system, site=site.id, layout=site.layout, settings=settings
    )


class _Folding:
    def __init__(self, order: Order) -> None:
        self._order = order
        self._said: Claims[str] = Claims(order.saw)
        self._layout: Claims[str] = Claims(order.saw)
        self.settings: dict[str, Setting] = {}
        self.notes: list[str] = []
        self.system = ""
        for place in counting(order):
            self._take(place, order.entries[place])

    def _take(self, place: int, entry: Entry) -> None:
        match entry.event:
            case e.SiteBegun(system):
                self.system = self.system or system
            case e.Named():
                for field in FIELDS:
                    text = getattr(entry.event, field)
                    if text:
                        self._said.add(field, Claim(place, text, entry.author, "technician"))
            case e.Told(about, answer):
                self._layout.add(about, Claim(place, answer, entry.author, "technician"))
            case e.TakenBack(about):
                self._layout.drop(place, about)
            case e.Setting(about, value, unit):
                self.settings[about] = Setting(value, unit, entry.at)
            case e.Note(text):
                self.notes += [text] if text else []

    def latest(self, field: str) -> str:
        """Return what was said last of a field."""
        claims = self._said.about(field)
        return claims[-1].value if claims else ""

    def layout(self) -> dict[str, tuple[str, str]]:
        """Return the layout as told of the site itself, with its times."""
        return {
            about: (self._order.entries[claim.place].at, claim.value)
            for about, claim in self._layout.all()
        }

    def conflicts(self) -> tuple[Conflict, ...]:
        """Return what was said differently by people who had not seen each other's."""
        found = []
        for claims in (self._said, self._layout):
            for about in claims.abouts():
                unseen = claims.unseen(about)
                if len({claim.value for claim in unseen}) > 1:
                    found.append(Conflict(about, None, tuple(map(self._voice, unseen))))
        return tuple(found)

    def _voice(self, claim: Claim[str]) -> Voice:
        entry = self._order.entries[claim.place]
        return Voice(claim.author, claim.speaker, claim.value, entry.at, entry.id)


def _readings(cases: Iterable[Case]) -> tuple[Reading, ...]:
    found = [
        Reading(each.entry.at, case.id, each.round, event.reading, event.parts)
        for case in cases
        for each in case.entries
        if isinstance(event := each.entry.event, e.Measured)
    ]
    return tuple(sorted(found, key=lambda reading: reading.at))
