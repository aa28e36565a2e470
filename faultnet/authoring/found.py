"""The findings that checks make by what they look for."""

import msgspec

from faultnet.authoring.forms.check import Look
from faultnet.authoring.names import Names
from faultnet.authoring.sections import Sections
from faultnet.model.cause import Cause, Shows
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.words import Words


def with_found(
    read: Sections, names: Names, words: Words
) -> tuple[dict[str, Cause], dict[str, Finding], dict[str, Check]]:
    """Return causes that also show the made findings, all findings, and the checks."""
    made: dict[str, Finding] = {}
    shown: dict[str, tuple[Shows, ...]] = {}
    checks: dict[str, Check] = {}
    for name, each in read.checks.items():
        ids = []
        for look in each.looks:
            finding = names.found[name, look.cause].id
            ids.append(finding)
            made[finding] = _finding(finding, each.check, look, read.causes, words)
            link = Shows(finding, (look.strength,), look.when, look.origin)
            shown[look.cause] = (*shown.get(look.cause, ()), link)
        checks[name] = msgspec.structs.replace(each.check, reveals=(*each.check.reveals, *ids))
    linked = {
        name: msgspec.structs.replace(cause, shows=(*cause.shows, *shown.get(name, ())))
        for name, cause in read.causes.items()
    }
    return linked, {**read.findings, **made}, checks


def _finding(
    name: str, check: Check, look: Look, causes: dict[str, Cause], words: Words
) -> Finding:
    cause = causes.get(look.cause)
    title = cause.title if cause else look.cause
    return Finding(
        id=name,
        title=f"Found: {title}",
        part=check.part,
        ask=f"Is this what you see: {title}?",
        answers=("no", "yes"),
        shows_anyway=(look.false_alarm or words.look_false_alarm,),
        origin=look.origin,
        history=True,
        found_cause=look.cause,
    )
