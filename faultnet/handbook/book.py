"""The handbook: dangers first, then all that is known by chapters, and an index of signs."""

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from faultnet.handbook.entries.cause import cause_section
from faultnet.handbook.entries.finding import finding_section
from faultnet.handbook.entries.ground import (
    root_section,
    sources_section,
    system_section,
    words_section,
)
from faultnet.handbook.entries.walk import procedure_section, reading_section
from faultnet.handbook.entries.work import check_section, repair_section, set_up_section
from faultnet.handbook.index import index_section
from faultnet.handbook.scope import Scope, everything, of_system
from faultnet.handbook.teller import Teller, no_picture
from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.system import System
from faultnet.writing.document import Bullets, Document, Link, Paragraph, Picture, Section

Parted = TypeVar("Parted", Cause, Finding, Check, Repair, SetUp)

SOURCES = "sources"


def handbook(
    known: Knowledge,
    day: str,
    system: System | None = None,
    picture: Callable[[Cause], Picture | None] = no_picture,
) -> Document:
    """Return the handbook of all systems or of one; ``day`` is when it was written."""
    scope = of_system(known, system) if system else everything(known)
    names = scope.names()

    def kept(name: str) -> bool:
        return name in names or name.startswith(f"{SOURCES}/")

    t = Teller(NamedBy(known), kept, picture)
    chapters = _chapters(t, scope)
    say = t.say
    facts = (
        (say("book.about"), system.title if system else say("book.all-systems")),
        (say("book.version"), known.version[:12]),
        (say("book.written"), day),
        (say("book.holds"), say("book.counts", **_counts(scope))),
    )
    first = _dangers(t, scope)
    contents = _contents(t, [first, *chapters])
    title = say("book.title-of", system=system.title) if system else say("book.title")
    return Document(title, "", facts, (first, contents, *chapters))


def _counts(scope: Scope) -> dict[str, int]:
    return {
        "causes": len(scope.causes),
        "findings": len(scope.findings),
        "checks": len(scope.checks),
        "repairs": len(scope.repairs),
    }


def _chapters(t: Teller, scope: Scope) -> list[Section]:
    say = t.say
    roots = [root_section(t, each) for each in scope.layouts]
    roots += [root_section(t, each) for each in scope.circumstances]
    found = [
        _chapter(t, "systems", (system_section(t, each) for each in scope.systems)),
        _chapter(t, "causes", _by_part(t, scope.causes, cause_section), say("book.causes")),
        _chapter(t, "findings", _by_part(t, scope.findings, finding_section)),
        _chapter(t, "checks", _by_part(t, scope.checks, check_section)),
        _chapter(t, "repairs", _by_part(t, scope.repairs, repair_section)),
        _chapter(t, "set-ups", _by_part(t, scope.set_ups, set_up_section)),
        _chapter(t, "procedures", (procedure_section(t, each) for each in scope.procedures)),
        _chapter(t, "readings", (reading_section(t, each) for each in scope.readings)),
        _chapter(t, "roots", roots),
        words_section(t),
        sources_section(t),
        index_section(t, scope.findings, scope.circumstances),
    ]
    return [_on_a_page(each) for each in found if each.sections or each.blocks]


def _on_a_page(chapter: Section) -> Section:
    return Section(chapter.title, chapter.blocks, chapter.id, chapter.sections, page=True)


def _chapter(t: Teller, kind: str, sections: Iterable[Section], about: str = "") -> Section:
    """Return a chapter that begins with a list of what is in it."""
    kept = tuple(sections)
    titles = tuple((Link(each.title, each.id),) for each in kept)
    first = [Paragraph(about)] if about else []
    return Section(t.say(f"kinds.{kind}"), (*first, Bullets(titles)), kind, kept)


def _by_part(
    t: Teller, entries: Sequence[Parted], section: Callable[[Teller, Parted], Section]
) -> list[Section]:
    """Return sections by part, each with a list of what is in it."""
    found = []
    for part in t.known.parts.values():
        inside = tuple(section(t, each) for each in entries if each.part == part.id)
        if inside:
            name = f"{inside[0].id.partition('/')[0]}/of/{part.id}"
            titles = Bullets(tuple((Link(each.title, each.id),) for each in inside))
            found.append(Section(part.title, (titles,), name, inside))
    return found


def _dangers(t: Teller, scope: Scope) -> Section:
    """Return every danger with what to do, those that stop everything first."""
    findings = [f for f in t.known.findings.values() if f in scope.findings and f.dangers]
    findings.sort(key=lambda f: all(danger.stop != "full" for danger in f.dangers))
    blocks = [block for finding in findings for block in t.dangers(finding)]
    return Section(
        t.say("book.dangers"), (Paragraph(t.say("book.dangers-told")), *blocks), "dangers"
    )


def _contents(t: Teller, chapters: list[Section]) -> Section:
    titles = tuple((Link(each.title, each.id),) for each in chapters)
    return Section(t.say("book.contents"), (Bullets(titles),), "contents", page=True)
