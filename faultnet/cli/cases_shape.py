"""Cases and sites for JSON; fields are added, never renamed."""

from typing import TYPE_CHECKING

from faultnet.cli.shape import Json, evidence

if TYPE_CHECKING:
    from collections.abc import Iterable

    from faultnet.cases.case import Case, Conflict
    from faultnet.cases.site import Site
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Log


def listed_shape(each: "Listed") -> Json:
    """Return a case or a site as it is listed."""
    return {
        "id": each.id,
        "system": each.system or None,
        "site": each.site or None,
        "name": each.name or None,
        "ended": each.ended or None,
        "begun": each.begun,
        "touched": each.touched,
        "author": each.author,
        "events": each.entries,
        "purged": each.purged or None,
    }


def case_shape(case: "Case", log: "Log") -> Json:
    """Return where a case stands."""
    return {
        "id": case.id,
        "system": case.system,
        "site": case.site or None,
        "follows": list(case.follows),
        "ended": case.ended or None,
        "begun": case.begun,
        "touched": case.touched,
        "author": case.last,
        "events": len(log.entries),
        "unread": log.unread,
        "unfit": case.unfit,
        "missing": case.missing,
        "evidence": evidence(case.evidence),
        "conflicts": conflicts_shape(case.conflicts),
    }


def conflicts_shape(conflicts: "Iterable[Conflict]") -> list[Json]:
    """Return what was said differently by people who had not seen each other's."""
    return [
        {
            "about": conflict.about,
            "round": None if conflict.round is None else conflict.round + 1,
            "said": [
                {"author": v.author, "by": v.speaker, "value": v.value, "at": v.at}
                for v in conflict.said
            ],
        }
        for conflict in conflicts
    ]


def site_shape(site: "Site") -> Json:
    """Return where a site stands, with its cases and its readings in order of time."""
    return {
        "id": site.id,
        "system": site.system or None,
        "name": site.name,
        "address": site.address,
        "contact": site.contact,
        "speaker": site.speaker,
        "layout": site.layout,
        "settings": {
            name: {"value": each.value, "unit": each.unit, "at": each.at}
            for name, each in site.settings.items()
        },
        "notes": list(site.notes),
        "conflicts": conflicts_shape(site.conflicts),
        "cases": [
            {"id": c.id, "begun": c.begun, "ended": c.ended or None, "follows": list(c.follows)}
            for c in site.cases
        ],
        "readings": [
            {
                "at": each.at,
                "case": each.case,
                "round": each.round + 1,
                "reading": each.reading,
                "parts": each.parts,
            }
            for each in site.readings
        ],
    }
