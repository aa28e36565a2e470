"""What all sections tell alike: links, numbers with where they come from, dangers, conditions."""

from collections.abc import Callable, Iterable, Mapping

from faultnet.handbook.wording import Wording, wording
from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.condition import When
from faultnet.model.finding import Finding, Trust
from faultnet.model.in_words import percent, plain, share_said, value_title
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.named_by import NamedBy
from faultnet.model.origin import Number
from faultnet.model.procedure import Procedure
from faultnet.model.reading import Reading
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.system import System
from faultnet.network.build import members
from faultnet.writing.document import (
    Aside,
    Block,
    Bullets,
    Link,
    Paragraph,
    Picture,
    Piece,
    Section,
    Share,
    Text,
)

Entry = (
    System | Cause | Finding | Check | Repair | Procedure | SetUp | Reading | Layout | Circumstance
)
Words = tuple[Piece, ...]

KINDS: dict[type, str] = {
    System: "systems",
    Cause: "causes",
    Finding: "findings",
    Check: "checks",
    Repair: "repairs",
    Procedure: "procedures",
    SetUp: "set-ups",
    Reading: "readings",
    Layout: "layouts",
    Circumstance: "circumstances",
}
"""Kinds of entries, as links call them: ``causes/shaft-seal-leaks``."""


def kind_of(entry: object) -> str:
    """Return the kind of an entry of the knowledge, as links call it."""
    return KINDS[type(entry)]


def no_picture(_: Cause) -> Picture | None:
    """Return nothing, where no pictures are wanted."""
    return None


class Teller:
    """Tells about entries; ``kept`` says what has a section, so that links can lead there."""

    def __init__(
        self,
        by: NamedBy,
        kept: Callable[[str], bool] = lambda _: True,
        picture: Callable[[Cause], Picture | None] = no_picture,
        say: Wording | None = None,
    ) -> None:
        """Take what is known, what is told of, and how a cause is drawn."""
        self.by = by
        self.known: Knowledge = by.knowledge
        self.kept = kept
        self.picture = picture
        self.say = say or wording()
        systems = self.known.systems.values()
        self.causes_of: Mapping[str, frozenset[str]] = {
            each.id: frozenset(members(self.known, each).causes) for each in systems
        }

    def link(self, text: str, to: str) -> Piece:
        """Return words that lead to a section, or only words where there is none."""
        return Link(text, to) if self.kept("/".join(to.split("/")[:2])) else text

    def to(self, entry: Entry) -> Piece:
        """Return the title of an entry, leading to it."""
        return self.link(entry.title, f"{kind_of(entry)}/{entry.id}")

    def root(self, name: str) -> Piece:
        """Return a layout question or a circumstance."""
        if name in self.known.layouts:
            return self.to(self.known.layouts[name])
        return self.to(self.known.circumstances[name])

    def about(self, name: str) -> Words:
        """Return a finding, circumstance or layout; a look at a cause leads to the cause."""
        finding = self.known.findings.get(name)
        if finding is None:
            return (self.root(name),)
        if finding.found_cause:
            cause = self.known.causes[finding.found_cause]
            return (f"{self.say('finding.looks-for')} ", self.to(cause))
        return (self.to(finding),)

    def origin(self, number: Number) -> Aside:
        """Return where a number comes from."""
        words: list[str | Link] = []
        for name in number.provenance:
            words += [", "] if words else []
            source = self.known.sources.get(name)
            if source is None:
                words.append(self.say(f"number.{name}"))
            else:
                piece = self.link(source.title, f"sources/{name}")
                words.append(piece if isinstance(piece, Link) else source.title)
        return Aside(tuple(words))

    def share(self, number: Number) -> Words:
        """Return a chance in words and per cent, with where it comes from."""
        return (f"{share_said(number)} ", self.origin(number))

    def told(self, name: str, number: Number, **more: object) -> Words:
        """Return a text with a number in it, with where it comes from."""
        field = {"minutes": f"{number.value:g}", "share": percent(number.value)}
        return (f"{self.say(name, **field, **more)} ", self.origin(number))

    def only(self, when: When) -> Words:
        """Return a condition on the layout; nothing where there is none."""
        if not when:
            return ()
        found: Words = (f"{self.say('know.only')} ",)
        either = f" {self.say('know.or')} "
        for number, (layout, values) in enumerate(when.items()):
            titles = either.join(value_title(self.known, layout, value) for value in values)
            found += ("; ",) if number else ()
            found += (self.to(self.known.layouts[layout]), f" ({titles})")
        return found

    def strengths(self, finding: Finding, numbers: tuple[Number, ...]) -> Words:
        """Return how often it shows, by answer where there are several, and a bar."""
        found: Words = ()
        for number, each in enumerate(numbers):
            found += ("; ",) if number else ()
            found += (f"{plain(finding.answers[number + 1])}: ",) if len(numbers) > 1 else ()
            found += self.share(each)
        return (*found, Share(sum(each.value for each in numbers)))

    def shown(
        self, other: Entry, finding: Finding, numbers: tuple[Number, ...], when: When
    ) -> Words:
        """Return one of a list of links with its strength and condition."""
        *told, bar = self.strengths(finding, numbers)
        only = self.only(when)
        return (self.to(other), ": ", *told, *(("; ", *only) if only else ()), bar)

    def chance(self, other: Entry, number: Number | None) -> Words:
        """Return one of a list with its chance; none is told as advice."""
        told = self.share(number) if number else (self.say("cause.advice-only"),)
        return (self.to(other), ": ", *told)

    def dangers(self, finding: Finding) -> list[Block]:
        """Return what stops everything when a finding is answered so."""
        say = self.say
        found: list[Block] = []
        for danger in finding.dangers:
            when = say("finding.danger", answer=plain(danger.answer))
            stop = say(f"finding.stop-{danger.stop}")
            told = f". {when}. {stop} {danger.say} {say('finding.send', send=danger.send)}"
            words = (f"{say('finding.danger-word')} ", self.to(finding), told)
            found.append(Paragraph(words, warning=True, danger=True))
        return found

    def cautions(self, items: Iterable[str]) -> list[Block]:
        """Return cautions, each standing out."""
        word = self.say("work.caution")
        return [Paragraph(f"{word} {item}", warning=True) for item in items]

    def trusts(self, trusts: Mapping[str, Trust]) -> Bullets:
        """Return what the word of each kind of speaker is worth."""
        return Bullets(
            tuple(
                (
                    f"{plain(speaker)}: ",
                    *self.told("finding.hit", trust.hit),
                    "; ",
                    *self.told("finding.false-alarm", trust.false_alarm),
                )
                for speaker, trust in trusts.items()
            )
        )

    def asked(self, entry: Finding | Layout | Circumstance) -> list[Section]:
        """Return how it is asked, at the pump and by phone."""
        caller = entry.ask_caller or self.say("know.not-by-phone")
        return [
            Section(self.say("know.ask"), (Paragraph(entry.ask),)),
            Section(self.say("know.ask-caller"), (Paragraph(caller),)),
        ]


def listed(title: str, items: Iterable[Text], *, numbered: bool = False) -> list[Section]:
    """Return a list under a title, or nothing where it is empty."""
    kept = tuple(items)
    return [Section(title, (Bullets(kept, numbered),))] if kept else []


def noted(*texts: Text) -> list[Block]:
    """Return paragraphs of those texts that say anything, each with a capital."""
    return [Paragraph(_capital(text)) for text in texts if text]


def _capital(text: Text) -> Text:
    if isinstance(text, str):
        return text[:1].upper() + text[1:]
    first, *rest = text
    return (first[:1].upper() + first[1:] if isinstance(first, str) else first, *rest)
