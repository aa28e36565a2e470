"""Where a site stands, with its cases and its readings in order of time."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.cases import DifferingShape, conflicts_shape

if TYPE_CHECKING:
    from faultnet.cases.site import Site


class SettingShape(msgspec.Struct, frozen=True):
    """A setting with its unit, and when it was asked or measured."""

    value: float
    unit: str
    at: str


class SiteCaseShape(msgspec.Struct, frozen=True):
    """A case of a site."""

    id: str
    begun: str
    ended: str | None
    follows: tuple[str, ...]


class SiteReadingShape(msgspec.Struct, frozen=True):
    """A reading that was taken at a site, in a case and a round (from 1)."""

    at: str
    case: str
    round: int
    reading: str
    parts: dict[str, float]


class SiteShape(msgspec.Struct, frozen=True):
    """A place where a system stands; customer data."""

    id: str
    system: str | None
    name: str
    address: str
    contact: str
    speaker: str
    layout: dict[str, str]
    settings: dict[str, SettingShape]
    notes: tuple[str, ...]
    conflicts: tuple[DifferingShape, ...]
    cases: tuple[SiteCaseShape, ...]
    readings: tuple[SiteReadingShape, ...]


def site_shape(site: "Site") -> SiteShape:
    """Return where a site stands."""
    return SiteShape(
        id=site.id,
        system=site.system or None,
        name=site.name,
        address=site.address,
        contact=site.contact,
        speaker=site.speaker,
        layout=site.layout,
        settings={n: SettingShape(s.value, s.unit, s.at) for n, s in site.settings.items()},
        notes=site.notes,
        conflicts=conflicts_shape(site.conflicts),
        cases=tuple(SiteCaseShape(c.id, c.begun, c.ended or None, c.follows) for c in site.cases),
        readings=tuple(
            SiteReadingShape(r.at, r.case, r.round + 1, r.reading, r.parts) for r in site.readings
        ),
    )
