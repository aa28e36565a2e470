"""The service report of a case."""

from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.cases.fold import fold
from faultnet.cases.site import Site
from faultnet.report import arrival, care, findings
from faultnet.report.course import Course
from faultnet.report.rankings import rankings
from faultnet.report.words import Audience, name_of
from faultnet.visit.early import ended_early
from faultnet.visit.said import said
from faultnet.visit.told import HOW, title_of
from faultnet.visit.unsettled import Unsettled, unsettled
from faultnet.writing.clean import cleaned
from faultnet.writing.document import Block, Bullets, Document, Paragraph, Section


def service_report(
    subject: Subject,
    entries: tuple[Entry, ...],
    site: Site | None = None,
    audience: Audience = "customer",
    unread: int = 0,
) -> Document:
    """Return the service report of a case from its entries, for customer or office.

    The customer's copy has plain words and neither ids nor probabilities; that of the
    office has them, with notes and the rankings. ``unread`` entries could not be read.
    """
    course = Course(subject, fold(subject, entries), site)
    sections = [
        *_open_points(course, unread),
        findings.complaint(course, audience),
        arrival.arrival(course),
        findings.installation(course) if audience == "office" else None,
        findings.found(course, audience),
        findings.cause(course),
        arrival.agreed(course),
        findings.work(course, audience),
        findings.before_and_after(course, audience),
        care.drinking_water(course),
        care.safety(course),
        care.watch(course, audience),
        care.due(course),
        *(_office(course, entries) if audience == "office" else ()),
        care.signed(course),
    ]
    title = "Service report" if audience == "customer" else "Service report, office copy"
    kept = tuple(section for section in sections if section)
    return cleaned(Document(title, audience, _facts(course, audience), kept))


def _facts(course: Course, audience: Audience) -> tuple[tuple[str, str], ...]:
    case, site = course.case, course.site
    closed = [each for each in case.entries if isinstance(each.entry.event, e.Ended)]
    authors = dict.fromkeys(name_of(each.entry.author) for each in case.entries)
    facts = [
        ("Site", site.name if site else ""),
        ("Address", site.address if site else ""),
        ("Contact", site.contact if site else ""),
        ("System", course.subject.system.title),
        ("Begun", f"{case.begun[:10]} (UTC)"),
        ("Closed", f"{closed[-1].entry.at[:10]} (UTC)" if case.ended and closed else "not yet"),
        ("Result", HOW.get(case.ended, case.ended) or "The case is still open"),
        ("Written by", ", ".join(authors)),
    ]
    if audience == "office":
        facts += [
            ("Case", case.id),
            ("Site id", case.site),
            ("Follows", ", ".join(case.follows)),
            ("Knowledge", course.subject.knowledge.version[:12]),
        ]
    return tuple((name, text) for name, text in facts if text)


def _open_points(course: Course, unread: int) -> list[Section]:
    """Return what stands between this paper and the whole truth, if anything."""
    case = course.case
    counts = (
        (unread, "event(s) could not be read: damaged, or of a newer faultnet."),
        (case.unfit, "event(s) no longer fit the knowledge and are left out."),
        (case.missing, "event(s) of somebody else have not arrived yet."),
        (len(case.conflicts), "thing(s) were told differently by people, and are still open."),
        (len(case.apart), "thing(s) were done by people apart, and are still open."),
    )
    told: list[Block] = [Paragraph(f"{n} {what}", warning=True) for n, what in counts if n]
    return [Section("This report is not complete", tuple(told))] if told else []


def _office(course: Course, entries: tuple[Entry, ...]) -> list[Section]:
    beside = (arrival.put_off(course), arrival.suspects(course))
    found = [rankings(course, entries), *(each for each in beside if each)]
    both = tuple(unsettled(course.subject, course.case))
    for title, is_said in (("Told differently", True), ("Done apart", False)):
        told = tuple(_unsettled(each) for each in both if (each.kind == "said") == is_said)
        if told:
            found.append(Section(title, (Bullets(told),)))
    early = tuple(
        f"{said(course.subject, entry.event)} [{name_of(entry.author)}, {entry.at[:10]}]"
        for entry in ended_early(course.case)
    )
    if early:
        found.append(Section("Procedures that ended early", (Bullets(early),)))
    notes = tuple(
        f"{_note(course, event)} [{name_of(each.entry.author)}, {each.entry.at[:10]}]"
        for each in course.case.entries
        if isinstance(event := each.entry.event, e.Note | e.Photo)
    )
    if notes:
        found.append(Section("Notes and pictures", (Bullets(notes),)))
    return found


def _unsettled(each: Unsettled) -> str:
    says = " says" if each.kind == "said" else ":"
    voices = (f"{name_of(v.author)} ({v.by}){says} {v.words}" for v in each.said)
    return f"{each.title}: {'; '.join(voices)}"


def _note(course: Course, event: e.Note | e.Photo) -> str:
    about = f"{title_of(course.subject, event.about)}: " if event.about else ""
    picture = f"Picture {event.reference}: " if isinstance(event, e.Photo) else ""
    return f"{about}{picture}{event.text}"
