"""Causes: how common, what they show, how they are looked for and mended, what they go with."""

from faultnet.handbook.entries.work import doing, priced, proof, takes
from faultnet.handbook.teller import Teller, Words, listed, noted
from faultnet.model.cause import Cause, Factor
from faultnet.model.in_words import plain, value_title
from faultnet.writing.document import Block, Bullets, Paragraph, Section


def cause_section(t: Teller, cause: Cause) -> Section:
    """Return the section of a cause: danger and caution first."""
    repair = t.known.repairs[cause.repair]
    dangers = [d for shows in cause.shows for d in t.dangers(t.known.findings[shows.finding])]
    audit = t.say("cause.audit") if cause.audit else ""
    picture = t.picture(cause)
    first: list[Block] = [*dangers, *t.cautions(repair.work.cautions)]
    first += noted(cause.note, audit, t.only(cause.only_when))
    return Section(
        cause.title,
        (*first, *([picture] if picture else [])),
        f"causes/{cause.id}",
        (
            _common(t, cause),
            *listed(t.say("cause.likelier"), [_factor(t, each) for each in cause.likelier_when]),
            _signs(t, cause),
            _checks(t, cause),
            Section(
                t.say("cause.repair"),
                (Paragraph((t.to(repair),)), *takes(t, repair.work), *proof(t, repair)),
                sections=(
                    *doing(t, repair.work),
                    *listed(t.say("work.and-parts"), priced(t, repair.parts)),
                ),
            ),
            *_goes_with(t, cause),
        ),
    )


def _common(t: Teller, cause: Cause) -> Section:
    number = cause.how_common
    word = f"{plain(number.word)}: " if number.word else ""
    told = t.say("number.common", share=f"{number.value * 100.0:.2g}")
    words = (f"{word}{told} ", t.origin(number))
    return Section(t.say("cause.common"), (Paragraph(words),))


def _factor(t: Teller, factor: Factor) -> Words:
    value = ""
    if factor.about in t.known.layouts:
        value = f" ({value_title(t.known, factor.about, factor.value)})"
    odds = t.say("number.odds", factor=f"{factor.factor.value:g}")
    return (t.root(factor.about), f"{value}: {odds} ", t.origin(factor.factor))


def _signs(t: Teller, cause: Cause) -> Section:
    shown = [each for each in cause.shows if not t.known.findings[each.finding].found_cause]
    shown.sort(key=lambda each: -sum(number.value for number in each.strength))
    items = []
    for shows in shown:
        finding = t.known.findings[shows.finding]
        items.append(t.shown(finding, finding, shows.strength, shows.when))
    if not items:
        return Section(t.say("cause.signs"), (Paragraph(t.say("cause.no-signs")),))
    told = Paragraph(t.say("cause.signs-told"))
    return Section(t.say("cause.signs"), (told, Bullets(tuple(items))))


def _checks(t: Teller, cause: Cause) -> Section:
    checks = t.by.looked_for_by.get(cause.id, ())
    items = tuple(
        (
            t.to(check),
            ": ",
            *t.told("number.minutes", check.work.minutes),
            f"; {t.say(f'who.{check.work.who}')}",
        )
        for check in checks
    )
    blocks: Block = Bullets(items) if items else Paragraph(t.say("cause.no-checks"))
    return Section(t.say("cause.checks"), (blocks,))


def _goes_with(t: Teller, cause: Cause) -> list[Section]:
    """Return its chains, what looks like it, where it occurs and where it was seen."""
    by, known = t.by, t.known
    leads = [t.chance(known.causes[link.cause], link.strength) for link in cause.leads_to]
    comes = [t.chance(c, link.strength) for c, link in by.comes_from.get(cause.id, ())]
    brought = [t.chance(r, number) for r, number in by.brought_by.get(cause.id, ())]
    systems = [s for s in by.built_from.get(cause.part, ()) if cause.id in t.causes_of[s.id]]
    title = known.parts[cause.part].title
    where = [(t.link(f"{s.title}: {title}", f"systems/{s.id}/part-{cause.part}"),) for s in systems]
    seen = [(t.link(known.sources[s].title, f"sources/{s}"),) for s in cause.seen_in]
    return [
        *listed(t.say("cause.leads"), leads),
        *listed(t.say("cause.comes"), comes),
        *listed(t.say("cause.brought"), brought),
        *_alike(t, cause),
        *listed(t.say("know.systems-with"), where),
        *listed(t.say("cause.seen"), seen),
    ]


def _alike(t: Teller, cause: Cause) -> list[Section]:
    blocks: list[Block] = []
    for group in t.by.alike.get(cause.id, ()):
        others = [(t.to(t.known.causes[each]),) for each in group.causes if each != cause.id]
        parted = (f"{t.say('cause.parted')} ", t.to(t.known.checks[group.parted_by]))
        blocks += [Bullets(tuple(others)), *noted(parted, group.note)]
    return [Section(t.say("cause.alike"), tuple(blocks))] if blocks else []
