"""Procedures and readings: what is done step by step, and what numbers mean."""

from collections.abc import Iterator

from faultnet.handbook.teller import Teller, Words, listed, noted
from faultnet.model.in_words import plain
from faultnet.model.procedure import Procedure, Step
from faultnet.model.reading import Accuracy, Reading, Span
from faultnet.writing.document import Block, Bullets, Paragraph, Section, Text


def procedure_section(t: Teller, procedure: Procedure) -> Section:
    """Return the section of a procedure: each step with its limit and what stops it."""
    steps = [
        Section(t.say("procedure.step", number=number), tuple(_step(t, step)))
        for number, step in enumerate(procedure.steps, start=1)
    ]
    used = [(t.to(each),) for each in t.by.done_by.get(procedure.id, ())]
    return Section(
        procedure.title,
        (Paragraph(procedure.about),),
        f"procedures/{procedure.id}",
        (
            *listed(t.say("procedure.bring"), procedure.bring),
            *listed(t.say("procedure.before"), procedure.before),
            Section(t.say("procedure.steps"), (), sections=tuple(steps)),
            *listed(t.say("procedure.after"), procedure.after),
            *listed(t.say("procedure.used"), used),
        ),
    )


def _step(t: Teller, step: Step) -> Iterator[Block]:
    yield from t.cautions([step.caution] if step.caution else [])
    yield Paragraph(step.do)
    if step.limit:
        words: Words = (f"{t.say('procedure.limit')} ",)
        for k, (unit, number) in enumerate(step.limit.items()):
            words += (f"{', ' if k else ''}{number.value:g} {plain(unit)} ", t.origin(number))
        yield Paragraph(words)
    if step.stop_when:
        yield Paragraph(f"{t.say('procedure.stop')} {step.stop_when}", warning=True)
    if step.meanwhile:
        yield Paragraph(f"{t.say('procedure.meanwhile')} {step.meanwhile}")
    for name, on in step.set_ups.items():
        word = t.say("procedure.made" if on else "procedure.undone")
        yield Paragraph((f"{word} ", t.to(t.known.set_ups[name])))
    for name, parts in step.takes.items():
        told = t.say("procedure.takes", parts=", ".join(map(plain, parts)))
        yield Paragraph((f"{told} ", t.to(t.known.readings[name])))


def reading_section(t: Teller, reading: Reading) -> Section:
    """Return the section of a reading: what is read, how exactly, and what it means."""
    parts = [_part(t, reading, part) for part in reading.takes]
    exact = exactness(t, reading.accuracy, reading.unit) if reading.accuracy else ()
    accuracy = [Section(t.say("reading.accuracy"), (Paragraph(exact),))] if exact else []
    return Section(
        reading.title,
        tuple(noted(reading.note)),
        f"readings/{reading.id}",
        (
            *listed(t.say("reading.takes"), parts),
            Section(
                t.say("reading.answers"),
                (Bullets(tuple(_span(t, reading, span) for span in reading.answers)),),
            ),
            *accuracy,
            *listed(t.say("reading.about"), map(t.about, reading.findings)),
        ),
    )


def _part(t: Teller, reading: Reading, part: str) -> Text:
    unit = reading.takes[part]
    words: Words = (t.say("reading.part", part=plain(part), unit=unit),)
    if part not in reading.required:
        words += (f"; {t.say('reading.optional')}",)
    if part in reading.accuracy_of:
        words += (" ", *exactness(t, reading.accuracy_of[part], unit))
    return words


def _span(t: Teller, reading: Reading, span: Span) -> Text:
    finding = t.known.findings.get(span.answer)
    words: Words = (f"{finding.title if finding else plain(span.answer)}:",)
    for name, number in (("over", span.over), ("under", span.under)):
        if number:
            told = t.say(f"reading.{name}", number=f"{number.value:g}", unit=reading.unit)
            words += (f" {told} ", t.origin(number))
    return words


def exactness(t: Teller, accuracy: Accuracy, unit: str) -> Words:
    """Return how exactly an instrument reads."""
    words: Words = ()
    if accuracy.amount:
        told = t.say("reading.amount", number=f"{accuracy.amount.value:g}", unit=unit)
        words += (f"{told} ", t.origin(accuracy.amount))
    if accuracy.percent:
        told = t.say("reading.percent", number=f"{accuracy.percent.value:g}")
        words += (f"{told} ", t.origin(accuracy.percent))
    if accuracy.grade:
        words += (t.say("reading.grade", grade=accuracy.grade),)
    return words
