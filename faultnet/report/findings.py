"""What was told, found and measured, and what became of it: the first half of a report."""

from faultnet.cases import events as e
from faultnet.cases.events import Fitted
from faultnet.report.course import Course, Done
from faultnet.report.words import NOT_TAKEN, Audience, name_of, numbers, said, state
from faultnet.visit.sheet.line import part_said
from faultnet.visit.told import answer_said, title_of
from faultnet.writing.document import Block, Bullets, Paragraph, Section, Table

MOST_CAUSES = 6
"""Causes named where a repair mends several and none was seen."""


def complaint(course: Course, audience: Audience) -> Section:
    """Return the complaint as it was told."""
    answers = course.complaints
    wrong = tuple(said(course, a, audience) for a in answers if course.wrong(a))
    fine = tuple(said(course, a, audience) for a in answers if not course.wrong(a))
    before = tuple(
        title_of(course.subject, name)
        for name, held in course.case.evidence.circumstances.items()
        if held
    )
    blocks: list[Block] = [Bullets((*wrong, *before))] if wrong or before else []
    if not answers:
        blocks.append(Paragraph("No complaint was taken down."))
    elif answers[0].speaker == "technician":
        blocks.insert(0, Paragraph("As told or seen at the pump, before any step:"))
    elif not wrong:
        blocks.append(Paragraph("Nothing was told as wrong."))
    if fine and audience == "office":
        blocks += [Paragraph("Asked, and told as in order:"), Bullets(fine)]
    return Section("The complaint as told", tuple(blocks))


def installation(course: Course) -> Section | None:
    """Return what is known of the installation."""
    subject, evidence = course.subject, course.case.evidence
    known = {**(course.site.layout if course.site else {}), **evidence.layout}
    rows = [
        (title_of(subject, name), answer_said(subject, name, value))
        for name, value in known.items()
        if name in subject.system.layout
    ]
    for name, setting in (course.site.settings if course.site else {}).items():
        rows.append((name.replace("-", " "), f"{setting.value:g} {setting.unit}".strip()))
    if not rows:
        return None
    return Section("The installation", (Table(("What", "How it is"), tuple(rows)),))


def found(course: Course, audience: Audience) -> Section:
    """Return what was found, round by round."""
    blocks: list[Block] = []
    rounds = course.case.evidence.rounds
    for number, round_ in enumerate(rounds):
        told = course.answers(number, "technician")
        if number == 0:
            told = [a for a in told if a not in course.complaints]
        else:
            told += course.answers(number, "caller")
        if not (told or round_.taken):
            continue
        if len(rounds) > 1:
            blocks.append(Paragraph(f"{state(course, number)}:"))
        wrong = [said(course, a, audience) for a in told if course.wrong(a)]
        fine = [said(course, a, audience) for a in told if not course.wrong(a)]
        if wrong:
            blocks.append(Bullets(tuple(wrong)))
        if fine and audience == "office":
            blocks += [Paragraph("In order, or not to be taken:"), Bullets(tuple(fine))]
        elif fine:
            more = "more " if wrong else ""
            things = "thing was" if len(fine) == 1 else "things were"
            blocks.append(Paragraph(f"{len(fine)} {more}{things} looked at; nothing wrong there."))
        if round_.taken:
            rows = [(title_of(course.subject, t.reading), numbers(course, t)) for t in round_.taken]
            blocks.append(Table(("Measured", "Numbers"), tuple(rows)))
    if not any(round_.taken for round_ in rounds):
        blocks.append(Paragraph(f"Readings: {NOT_TAKEN.lower()}"))
    return Section("What was found", tuple(blocks))


def cause(course: Course) -> Section:
    """Return the cause, and what settled it."""
    told: list[str] = []
    for each in course.seen:
        where = f"Seen at: {each.check.title}." if each.check else "Seen by the technician."
        told.append(f"{course.subject.title(each.cause)}. {where}")
    told += [_unlisted(each) for each in course.unlisted]
    told += [_settled(course, each) for each in course.done if each.helped]
    told += [
        f"“{each.repair.title}” did not end the trouble, so what it mends was not the whole cause."
        for each in course.done
        if each.stayed
    ]
    blocks: tuple[Block, ...] = (Bullets(tuple(told)),) if told else ()
    if not (course.seen or course.unlisted or any(each.helped for each in course.done)):
        blocks = (*blocks, Paragraph("The cause has not been settled."))
    return Section("Cause, and what settled it", blocks)


def work(course: Course, audience: Audience) -> Section:
    """Return the work that was done, with the parts it takes."""
    if not course.done:
        nothing = Paragraph("No repair was done.")
        return Section("Work and parts", (nothing, *_fitted(course)))
    rows = tuple(
        (
            each.at[:10],
            each.repair.title,
            ", ".join(p.replace("-", " ") for p in each.repair.parts) or "none",
            _outcome(each),
        )
        for each in course.done
    )
    head = ("Date (UTC)", "Work", "Parts this work takes", "Outcome")
    blocks: list[Block] = [Table(head, rows)]
    blocks += _fitted(course)
    if audience == "office":
        steps = tuple(
            f"{title_of(course.subject, event.step)} [{name_of(each.entry.author)}]"
            for each in course.case.entries
            if isinstance(event := each.entry.event, e.StepDone)
        )
        blocks += [Paragraph("Checks that were done:"), Bullets(steps)] if steps else []
    return Section("Work and parts", tuple(blocks))


def _fitted(course: Course) -> list[Block]:
    """Return the parts that were fitted; for those not written down, a line for the pen."""
    fitted = [line for line, _ in course.written(Fitted)]
    rows = tuple((part_said(line), str(line.number), line.serial) for line in fitted)
    head = ("Part fitted", "Number", "Serial number")
    if rows:
        return [Table(head, rows)]
    if not any(each.repair.parts for each in course.done):
        return []
    note = Paragraph("Parts fitted were not taken down; to be filled in by hand:")
    return [note, Table(head, (("", "", ""),))]


def before_and_after(course: Course, audience: Audience) -> Section:
    """Return what was measured, or told as wrong, both before and after a repair."""
    rounds = course.case.evidence.rounds
    rows: dict[str, dict[int, str]] = {}
    fine = {a.finding for r in rounds for a in r.answers}
    fine -= {a.finding for r in rounds for a in r.answers if course.wrong(a)}
    for number, round_ in enumerate(rounds):
        for taken in round_.taken:
            title = title_of(course.subject, taken.reading)
            rows.setdefault(title, {})[number] = numbers(course, taken)
        for answer in (a for a in round_.answers if a.finding not in fine):
            finding = course.finding(answer.finding)
            asked = audience == "customer" and finding.ask_caller
            told = answer_said(course.subject, finding.id, answer.answer)
            rows.setdefault(asked or finding.title, {})[number] = told
    twice = tuple(
        (title, by[min(by)], by[max(by)])
        for title, by in rows.items()
        if len(by) > 1 and course.done and min(by) <= course.done[-1].round < max(by)
    )
    if not twice:
        text = "Nothing was measured or told as wrong both before and after the work."
        return Section("Before and after", (Paragraph(text),))
    return Section("Before and after", (Table(("What", "Before", "After"), twice),))


def _unlisted(event: e.Confirmed) -> str:
    """Return what was seen and is in no file, in the words of whoever saw it."""
    if not event.text:
        return "Something that is in no list of faults. Seen by the technician."
    return f"In the technician's words: “{event.text}”. It is in no list of faults."


def _settled(course: Course, done: Done) -> str:
    causes = course.mended(done)
    proof = f" The proof was passed: {done.repair.proof}" if done.repair.proof else ""
    proved = proof if done.proof == "yes" else ""
    what = f"“{done.repair.title}” ended the trouble.{proved}"
    beside = any(each.round == done.round for each in course.unlisted)
    if beside or any(seen.cause in causes for seen in course.seen):
        return what
    named = "; ".join(course.subject.title(c) for c in causes[:MOST_CAUSES])
    if len(causes) > MOST_CAUSES:
        named += f"; and {len(causes) - MOST_CAUSES} more"
    if len(causes) == 1:
        return f"{named}. Settled by the repair: {what}"
    if not causes:
        return what
    return f"{what} It was not seen which of these faults was there: {named}."


def _outcome(done: Done) -> str:
    works = {True: "works as it should", False: "the trouble stayed", None: ""}[done.works]
    proofs = {"yes": "proved", "no": "not proved", "later": "still to be proved"}
    return "; ".join(filter(None, (works, proofs.get(done.proof, "")))) or "not noted"
