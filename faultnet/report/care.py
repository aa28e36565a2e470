"""Drinking water, safety, what to watch and what is due: the second half of a report."""

from typing import get_args

from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.cases.events import (
    Disinfected,
    Licence,
    NextDue,
    Role,
    SafetyFinding,
    Signed,
    Watch,
)
from faultnet.report.course import Course
from faultnet.report.words import NOT_TAKEN, Audience, said, titles
from faultnet.visit.sheet.line import DECLINED, contact_said
from faultnet.visit.told import title_of
from faultnet.writing.document import Block, Bullets, Paragraph, Section, Table

FULL = (
    "It calls for a full dose of chlorine, flushing, and a water sample. Do not drink this water "
    "or cook with it until a laboratory has found the sample free of coliform bacteria; use other "
    "water until then. Do not lead strongly chlorinated water into a septic tank. What your health "
    "department says goes before this paper."
)
"""County rules on disinfecting wells (Loudoun, Marion): the sample before drinking; a state's
guide on heavy doses: after any opening; Loudoun: not to the septic tank."""

WIPE = (
    "It calls for the parts to be wiped with a chlorine solution as they go in, and for the line "
    "to be flushed before the water is used."
)
"""Common practice, no source: one fitting is wiped and flushed."""

DUE = {
    "mended-proof-open": "The work is still to be proved.",
    "made-safe": "It was made safe only; the fault itself is still to be mended.",
    "temporary": "The repair is a temporary one; the lasting one is still to come.",
    "part-on-order": "The work goes on when the part has come.",
    "declined": "The work was declined by the customer and is still to be done.",
    "no-access": "Nobody could get to the pump; another visit is needed.",
    "referred": "The specialist goes on from here.",
}
"""What an ending leaves to be done."""

DANGERS = {
    "safe": "met, and noted as dealt with.",
    "gone": "told, and not there when it was looked at again.",
    "open": "not noted as dealt with.",
}
"""How a danger stands."""


DISINFECTED = ("Product", "Dose", "Time", "Date (UTC)", "Sample, result")
"""The head of what was disinfected."""

SIGNED = ("Who", "Name", "Time", "Signature")
"""The head of who signed."""


def drinking_water(course: Course) -> Section:
    """Return what the work calls for before the water is drunk again."""
    blocks: list[Block] = []
    for size, text in (("full", FULL), ("wipe", WIPE)):
        called = tuple(d.repair.id for d in course.done if d.repair.disinfect == size)
        if called:
            which = titles(course, tuple(dict.fromkeys(called)))
            blocks.append(Paragraph(f"The work done: {which}. {text}", warning=size == "full"))
    written = tuple(_disinfected(line, entry) for line, entry in course.written(Disinfected))
    if blocks and not written:
        blocks.append(Paragraph("Not taken down in the case; to be filled in by hand:"))
        written = (("",) * len(DISINFECTED),)
    if written:
        blocks.append(Table(DISINFECTED, written))
    elif course.done:
        text = "The work that was done does not call for disinfection."
        blocks.append(Paragraph(text))
    else:
        blocks.append(Paragraph("No work was done that calls for disinfection."))
    return Section("Disinfection and drinking water", tuple(blocks))


def _disinfected(line: Disinfected, entry: Entry) -> tuple[str, ...]:
    time = contact_said(line.minutes)
    sample = "taken; result:" if line.sampled else ""
    return (line.product, line.dose, time, entry.at[:10], sample)


def safety(course: Course) -> Section:
    """Return the dangers, the faults that safety forbids, and what is left standing."""
    blocks: list[Block] = []
    for met in course.met:
        text = f"{met.finding.title}: {DANGERS[met.state]}"
        if met.state == "open":
            text = f"{text} {met.danger.say} {met.danger.send}"
        blocks.append(Paragraph(text, warning=met.state == "open"))
    known = course.subject.knowledge.causes
    mended = {c for done in course.done if done.helped for c in course.mended(done)}
    for seen in course.seen:
        if known[seen.cause].audit and seen.cause not in mended:
            text = f"{known[seen.cause].title}: seen, and not noted as mended."
            blocks.append(Paragraph(text, warning=True))
    for line, _ in course.written(SafetyFinding):
        end = f". {DECLINED[:1].upper()}{DECLINED[1:]}." if line.declined else "."
        blocks.append(Paragraph(f"Found unsafe: {line.text.rstrip('.')}{end}", warning=True))
    left = tuple(s for s in course.case.evidence.set_ups if not s.startswith("called:"))
    if left:
        blocks.append(Paragraph("Still so at the site, as far as was noted:"))
        blocks.append(Bullets(tuple(title_of(course.subject, name) for name in left)))
    if not blocks:
        asked = any(isinstance(each.entry.event, e.Denied) for each in course.case.entries)
        told = "The dangers were asked about and denied." if asked else "No danger was noted."
        blocks.append(Paragraph(told))
    if course.case.ended == "declined":
        blocks.append(Paragraph("The customer declined the work.", warning=True))
    elif course.case.ended == "made-safe":
        blocks.append(Paragraph("The system was made safe and left so.", warning=True))
    return Section("Safety", tuple(blocks))


def watch(course: Course, audience: Audience) -> Section:
    """Return what to watch: the complaint, and what the fault can lead to."""
    blocks: list[Block] = []
    back = tuple(said(course, a, audience) for a in course.complaints if course.wrong(a))
    if back and course.done:
        blocks += [Paragraph("Call again when any of this comes back:"), Bullets(back)]
    known = course.subject.knowledge.causes
    causes = dict.fromkeys(seen.cause for seen in course.seen)
    if not causes:
        single = [course.mended(done) for done in course.done if done.helped]
        causes = dict.fromkeys(names[0] for names in single if len(names) == 1)
    chains = tuple(
        f"{known[cause].title} can lead to: {known[link.cause].title}"
        for cause in causes
        for link in known[cause].leads_to
        if link.cause in course.subject.causes and link.cause not in causes
    )
    if chains:
        blocks += [Paragraph("What can have followed from the fault:"), Bullets(chains)]
    noted = tuple(line.text for line, _ in course.written(Watch))
    if noted:
        blocks += [Paragraph("The technician asks you to watch:"), Bullets(noted)]
    if not blocks:
        blocks.append(Paragraph("Nothing was noted to watch for."))
    return Section("What to watch", tuple(blocks))


def due(course: Course) -> Section:
    """Return what is to be done next."""
    told = [DUE[course.case.ended]] if course.case.ended in DUE else []
    if not course.case.ended:
        told.append("The case is still open.")
    last = course.done[-1] if course.done else None
    if last and last.proof in {"later", "no"} and last.repair.proof:
        told.append(f"Proof to be taken: {last.repair.proof}")
    if any(done.repair.disinfect == "full" for done in course.done):
        sampled = any(line.sampled for line, _ in course.written(Disinfected))
        what = "The result of the water sample" if sampled else "A water sample"
        told.append(f"{what}, before the water is drunk.")
    days = sorted((line.date, line.text) for line, _ in course.written(NextDue))
    rows = tuple((text, str(day)) for day, text in days) or (("Next visit", ""),)
    blocks: tuple[Block, ...] = (Bullets(tuple(told)),) if told else ()
    return Section("Next due", (*blocks, Table(("What", "Date"), rows)))


def signed(course: Course) -> Section:
    """Return licence and names as they were typed, with room for the pen."""
    licences = ", ".join(line.licence for line, _ in course.written(Licence))
    names = course.written(Signed)
    rows: list[tuple[str, ...]] = []
    for role in get_args(Role):
        told = [(line.name, _moment(entry.at)) for line, entry in names if line.role == role]
        rows += [(role.capitalize(), *each, "") for each in told or [("", "")]]
    typed = "Typed in, with the time. What is empty is filled in by hand."
    note = Paragraph(typed if licences or names else f"{NOT_TAKEN} To be filled in by hand:")
    licence: Block = Paragraph(f"Licence number: {licences}")
    if not licences:
        licence = Table(("Licence number",), (("",),))
    return Section("Signed", (note, licence, Table(SIGNED, tuple(rows))))


def _moment(at: str) -> str:
    return f"{at[:10]} {at[11:16]} (UTC)"
