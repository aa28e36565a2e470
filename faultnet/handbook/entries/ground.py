"""What the rest stands on: systems, layout questions, circumstances, words and sources."""

from faultnet.handbook.teller import Teller, Words, listed, noted
from faultnet.model.in_words import percent, plain, value_title
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.origin import Number
from faultnet.model.system import System
from faultnet.model.words import ORIGINS, Source
from faultnet.writing.document import Bullets, Paragraph, Section, Text


def root_section(t: Teller, root: Layout | Circumstance) -> Section:
    """Return the section of a layout question, or of something that happened just before."""
    kind = "layouts" if isinstance(root, Layout) else "circumstances"
    if isinstance(root, Layout):
        values = [(f"{v.title}: ", *t.share(v.prior)) for v in root.values]
        usual = listed(t.say("root.values"), values)
    else:
        told = t.say("root.usual", share=percent(root.prior.value))
        usual = [Section(t.say("root.how-usual"), (Paragraph((f"{told} ", t.origin(root.prior))),))]
        usual += listed(t.say("finding.words"), root.words)
    causes: list[Text] = []
    for cause, factor in t.by.tipped_by.get(root.id, ()):
        value = f"{value_title(t.known, root.id, factor.value)}: " if kind == "layouts" else ""
        odds = t.say("number.odds", factor=f"{factor.factor.value:g}")
        causes.append((t.to(cause), f": {value}{odds} ", t.origin(factor.factor)))
    checks = [
        (t.to(check), ": ", *t.told("number.minutes", check.work.minutes))
        for check in t.by.revealed_by.get(root.id, ())
    ]
    below = (
        *t.asked(root),
        *usual,
        *listed(t.say("root.causes"), causes),
        *listed(t.say("finding.checks"), checks),
    )
    return Section(root.title, (), f"{kind}/{root.id}", below)


def system_section(t: Teller, system: System) -> Section:
    """Return the section of a system: its layout, and its causes by part."""
    layout: list[Text] = []
    for name, priors in system.layout.items():
        words: Words = (t.to(t.known.layouts[name]), ": ")
        possible = [(v, number) for v, number in priors.items() if number.value]
        for k, (value, number) in enumerate(possible):
            title = value_title(t.known, name, value)
            words += (f"{'; ' if k else ''}{title}: ", *t.share(number))
        layout.append(words)
    before = [
        (t.to(t.known.circumstances[name]), ": ", *t.share(number))
        for name, number in system.circumstances.items()
    ]
    specialist = (
        f"{system.specialist.title}: ",
        *t.told("number.minutes", system.specialist.minutes),
    )
    parts = [
        (t.link(t.known.parts[each].title, f"systems/{system.id}/part-{each}"),)
        for each in system.parts
    ]
    return Section(
        system.title,
        tuple(noted(system.about, t.say(f"system.faults-{system.faults}"))),
        f"systems/{system.id}",
        (
            *listed(t.say("system.parts"), parts),
            *listed(t.say("system.layout"), layout),
            *listed(t.say("system.before"), before),
            Section(t.say("system.causes"), (), sections=tuple(_parts(t, system))),
            _unlisted(t, system),
            Section(t.say("system.specialist"), (Paragraph(specialist),)),
        ),
    )


def _parts(t: Teller, system: System) -> list[Section]:
    found = []
    for name in system.parts:
        part = t.known.parts[name]
        causes = [c for c in t.by.causes_in.get(name, ()) if c.id in t.causes_of[system.id]]
        items = tuple((t.to(cause), ": ", *t.share(cause.how_common)) for cause in causes)
        blocks = (*noted(part.about), *([Bullets(items)] if items else []))
        found.append(Section(part.title, blocks, f"systems/{system.id}/part-{name}"))
    return found


def _unlisted(t: Teller, system: System) -> Section:
    items: list[Text] = []
    for shows in system.unlisted.shows:
        finding = t.known.findings[shows.finding]
        items.append(t.shown(finding, finding, shows.strength, shows.when))
    common = Paragraph(t.share(system.unlisted.how_common))
    return Section(t.say("system.unlisted"), (common, Bullets(tuple(items))))


def words_section(t: Teller) -> Section:
    """Return the words of likelihood with their numbers, and what a word of somebody is worth."""
    known = t.known.words
    return Section(
        t.say("sources.words"),
        (),
        "words",
        (
            Section(t.say("sources.words-strength"), (_words(t, known.likelihood),)),
            Section(t.say("sources.words-common"), (_words(t, known.how_common),)),
            Section(t.say("sources.trust"), (t.trusts(known.trust),)),
        ),
    )


def _words(t: Teller, numbers: dict[str, Number]) -> Bullets:
    return Bullets(
        tuple(
            (f"{plain(word)}: {percent(number.value)} ", t.origin(number))
            for word, number in numbers.items()
        )
    )


def sources_section(t: Teller) -> Section:
    """Return where numbers come from, and the publications with what cites them."""
    publications = tuple(_source(t, source) for source in t.known.sources.values())
    kinds = tuple(t.say(f"sources.{kind}") for kind in ("published", *ORIGINS))
    return Section(
        t.say("sources.title"),
        (Paragraph(t.say("sources.about")), Bullets(kinds)),
        "sources",
        (Section(t.say("sources.publications"), (), sections=publications),),
    )


def _source(t: Teller, source: Source) -> Section:
    gives = f" {t.say('sources.gives', gives=source.gives)}" if source.gives else ""
    read = f"{t.say('sources.read', read=source.read)}{gives}"
    cited = [(t.to(each),) for each in t.by.cited_by.get(source.id, ())]
    seen = [(t.to(each),) for each in t.by.seen_in.get(source.id, ())]
    below = (*listed(t.say("sources.cited"), cited), *listed(t.say("sources.seen"), seen))
    return Section(
        source.title, tuple(noted(source.published_as, read)), f"sources/{source.id}", below
    )
