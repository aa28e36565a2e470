"""The handbook: dangers first, then all that is known by chapters, and an index of signs."""

from collections.abc import Callable, Iterable, Sequence

from faultnet.handbook.entries.ground import sources_section, words_section
from faultnet.handbook.entry import section_of
from faultnet.handbook.index import index_section
from faultnet.handbook.scope import Scope, everything, of_system
from faultnet.handbook.teller import Entry, Teller, no_picture
from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.system import System
from faultnet.writing.document import Bullets, Document, Link, Paragraph, Picture, Section

Parted = Cause | Finding | Check | Repair | SetUp

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
        (say("book.holds"), _counts(t, scope)),
    )
    first = _dangers(t, scope)
    contents = _contents(t, [first, *chapters])
    title = say("book.title-of", system=system.title) if system else say("book.title")
    return Document(title, "", facts, (first, contents, *chapters))


def _counts(t: Teller, scope: Scope) -> str:
    return t.say(
        "book.counts",
        causes=len(scope.causes),
        findings=len(scope.findings),
        checks=len(scope.checks),
        repairs=len(scope.repairs),
    )


def _chapters(t: Teller, scope: Scope) -> list[Section]:
    say = t.say
    roots: list[Entry] = [*scope.layouts, *scope.circumstances]
    found = [
        _chapter(t, "systems", _all(t, scope.systems)),
        _chapter(t, "causes", _by_part(t, scope.causes), say("book.causes")),
        _chapter(t, "findings", _by_part(t, scope.findings)),
        _chapter(t, "checks", _by_part(t, scope.checks)),
        _chapter(t, "repairs", _by_part(t, scope.repairs)),
        _chapter(t, "set-ups", _by_part(t, scope.set_ups)),
        _chapter(t, "procedures", _all(t, scope.procedures)),
        _chapter(t, "readings", _all(t, scope.readings)),
        _chapter(t, "roots", _all(t, roots)),
        words_section(t),
        sources_section(t),
        index_section(t, scope.findings, scope.circumstances),
    ]
    return [_on_a_page(each) for each in found if each.sections]


def _on_a_page(chapter: Section) -> Section:
    return Section(chapter.title, chapter.blocks, chapter.id, chapter.sections, page=True)


def _chapter(t: Teller, kind: str, sections: Iterable[Section], about: str = "") -> Section:
    """Return a chapter that begins with a list of what is in it."""
    kept = tuple(sections)
    titles = tuple((Link(each.title, each.id),) for each in kept)
    first = [Paragraph(about)] if about else []
    return Section(t.say(f"kinds.{kind}"), (*first, Bullets(titles)), kind, kept)


def _all(t: Teller, entries: Iterable[Entry]) -> Iterable[Section]:
    return (section_of(t, each) for each in entries)


def _by_part(t: Teller, entries: Sequence[Parted]) -> list[Section]:
    """Return sections by part, each with a list of what is in it."""
    found = []
    for part in t.known.parts.values():
        inside = tuple(_all(t, [each for each in entries if each.part == part.id]))
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
