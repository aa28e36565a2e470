"""The knowledge of an author who has never met some of the causes."""

from collections.abc import Collection

from msgspec.structs import replace

from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.knowledge import Knowledge
from faultnet.model.repair import Repair


def without(knowledge: Knowledge, missing: Collection[str]) -> Knowledge:
    """Return the knowledge without causes, and without all that speaks of them.

    A repair that mended nothing else is gone too, and a check that looked for nothing else.
    Whatever these causes do falls to what is not listed, which stays as common as authored:
    the author does not know what is missing. Raises ``KeyError`` for a cause that is not there.
    """
    gone = {knowledge.causes[cause].id for cause in missing}
    found = {f.id for f in knowledge.findings.values() if f.found_cause in gone}
    causes = {c.id: _cause(c, gone) for c in knowledge.causes.values() if c.id not in gone}
    mending = {c.repair for c in causes.values()}
    lost = {knowledge.causes[cause].repair for cause in gone} - mending
    repairs = {r.id: _repair(r, gone, lost) for r in knowledge.repairs.values() if r.id not in lost}
    return replace(
        knowledge,
        version=f"{knowledge.version}-without-{'-'.join(sorted(gone))}"
        if gone
        else knowledge.version,
        causes=causes,
        findings={f.id: f for f in knowledge.findings.values() if f.id not in found},
        checks={
            c.id: _check(c, found)
            for c in knowledge.checks.values()
            if not c.reveals or not set(c.reveals) <= found
        },
        repairs=repairs,
        look_alikes={
            g.id: replace(g, causes=tuple(c for c in g.causes if c not in gone))
            for g in knowledge.look_alikes.values()
        },
    )


def _cause(cause: Cause, gone: Collection[str]) -> Cause:
    return replace(cause, leads_to=tuple(e for e in cause.leads_to if e.cause not in gone))


def _check(check: Check, found: Collection[str]) -> Check:
    reveals = tuple(f for f in check.reveals if f not in found)
    return replace(check, reveals=reveals, spoils=tuple(f for f in check.spoils if f not in found))


def _repair(repair: Repair, gone: Collection[str], lost: Collection[str]) -> Repair:
    brings = {cause: chance for cause, chance in repair.brings.items() if cause not in gone}
    larger = "" if repair.or_replace in lost else repair.or_replace
    return replace(repair, brings=brings, or_replace=larger)
