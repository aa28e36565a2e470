"""A proposal as text: which cases, the numbers by what they do, what is told beside."""

from collections.abc import Iterable, Iterator, Sequence

from faultnet.cli.screen import Screen, percent
from faultnet.learning.drift.words import summary
from faultnet.learning.newcomers.draft import said
from faultnet.learning.proposal.offer import SECTIONS, Offer
from faultnet.learning.proposal.proposal import Proposal
from faultnet.learning.proposal.told import effect_told, moves, place
from faultnet.learning.proposal.tried import Trial
from faultnet.learning.regions.regions import LearntRegions
from faultnet.model.knowledge import Knowledge

NAMED = 3
"""Cases set aside that are named for each reason."""


def proposal_text(screen: Screen, knowledge: Knowledge, found: Proposal, limit: int) -> list[str]:
    """Return a proposal, the first numbers of each section."""
    title = knowledge.systems[found.run.system].title
    lines = [*map(screen.bold, screen.wrap(f"What closed cases say: {title}"))]
    lines += cases_text(screen, found)
    if not found.run.cases:
        return lines
    for section, head in SECTIONS.items():
        offers = [each for each in found.offers.offered if each.section == section]
        lines += _section(screen, head, offers, found, limit)
    lines += _withheld(screen, found.offers.withheld)
    if found.drifts is not None:
        lines += ["", screen.bold("Over the months")]
        lines += [line for each in summary(found.drifts) for line in screen.wrap(each)]
    if found.regions is not None and found.regions.numbers:
        lines += ["", *_regions(screen, found.regions)]
    return [*lines, *_newcomers(screen, knowledge, found), "", *_remarks(screen, found)]


def _newcomers(screen: Screen, knowledge: Knowledge, found: Proposal) -> list[str]:
    if found.newcomers is None or not found.newcomers.found:
        return []
    lines = ["", screen.bold("Perhaps missing from the files")]
    for each in found.newcomers.found:
        lines += screen.wrap(said(each, knowledge), 4, "  -")
    told = "--json has a draft of each for: faultnet add cause FOLDER --answers FILE"
    return [*lines, *screen.wrap(told)]


def cases_text(screen: Screen, found: Proposal) -> list[str]:
    """Return how many cases there are, and those that were not used."""
    run = found.run
    if run.cases:
        told = f"{_cases(len(run.cases))}, closed {run.since} to {run.until}."
    else:
        told = "No case to learn from."
    lines = screen.wrap(told)
    for where, name in (("before", "earlier"), ("after", "later")):
        if found.places.get(where):
            lines += screen.wrap(f"{_cases(found.places[where])} closed {name} not learnt from.")
    if found.others:
        others = ", ".join(f"{name} ({count})" for name, count in found.others.items())
        lines += screen.wrap(f"Of other systems, left alone: {others}.")
    for code, count in sorted(found.aside.counts.items()):
        lines += screen.wrap(f"Set aside: {count}, {code.replace('-', ' ')}")
        for each in found.aside.named[code][:NAMED]:
            name = f" ({each.case})" if each.case and each.case not in each.place else ""
            lines += screen.wrap(f"{each.place}{name}: {each.reason}", 4, "  -")
    return lines


def trial_text(screen: Screen, found: Trial, *, unseen: bool) -> list[str]:
    """Return what accepted numbers do to cases."""
    if not found.cases:
        return [*screen.wrap("No closed case could be ranked before and after.")]
    old, new = found.loss
    better = "better" if new < old else "worse"
    which = "later cases, not learnt from" if unseen else "of the cases learnt from"
    lines = [
        screen.bold("What it does to closed cases"),
        *screen.wrap(f"{found.cases} {which}: what was confirmed is told {better}"),
        *screen.wrap(f"log-loss {old:.3f} before, {new:.3f} now", 4, "  -"),
        *screen.wrap(
            "among the first three in "
            f"{percent(found.top[0]).strip()} before, {percent(found.top[1]).strip()} now",
            4,
            "  -",
        ),
        *screen.wrap(_names("another cause comes first", found.firsts), 4, "  -"),
        *screen.wrap(_names("another next step", found.steps), 4, "  -"),
        *screen.wrap(
            f"minutes expected {found.minutes[0]:.0f} before, {found.minutes[1]:.0f} now", 4, "  -"
        ),
    ]
    if not unseen:
        lines += screen.wrap(
            "Numbers look better on cases they were learnt from than on new ones: with --until "
            "the later ones are kept for this."
        )
    return lines


def _section(
    screen: Screen, head: str, offers: Sequence[Offer], found: Proposal, limit: int
) -> list[str]:
    if not offers:
        return []
    lines = ["", screen.bold(head)]
    for number, offer in enumerate(offers[:limit], 1):
        lines += ["", *offer_text(screen, offer, found, f"{number:2}  ")]
    if len(offers) > limit:
        lines += ["", *screen.wrap(f"and {len(offers) - limit} more; --limit shows more.")]
    return lines


def offer_text(screen: Screen, offer: Offer, found: Proposal, mark: str) -> list[str]:
    """Return one offer in a few lines."""
    lines = screen.wrap(offer.held.about, 4, mark)
    for told in moves(offer):
        lines += screen.wrap(told, 4)
    effect = found.effects.get(offer.id)
    if effect is not None:
        lines += screen.wrap(effect_told(effect, len(found.looked)), 4)
    for note in offer.notes:
        lines += screen.wrap(note, 4)
    return [*lines, *map(screen.dim, _foot(screen, offer))]


def _foot(screen: Screen, offer: Offer) -> Iterator[str]:
    yield from screen.wrap(offer.id, 4)
    yield from screen.wrap(place(offer), 4)


def _regions(screen: Screen, found: LearntRegions) -> list[str]:
    lines = [screen.bold("By region")]
    lines += screen.wrap(
        f"{len(found.numbers)} of {found.looked_at} numbers looked at lie apart from what all "
        "share. They belong in a file of the region, of which --json has a draft: "
        "docs/knowledge-files.md."
    )
    for each in found.numbers:
        told, span = each.proposed, each.proposed.interval
        lines += screen.wrap(
            f"{each.region}: {told.of}, {told.about}: {told.value:.3g} ({span.low:.3g} to "
            f"{span.high:.3g}), elsewhere {each.shared:.3g}",
            4,
            "  -",
        )
    return lines


def _withheld(screen: Screen, offers: Iterable[Offer]) -> list[str]:
    lines: list[str] = []
    for offer in offers:
        lines += ["", *screen.wrap(f"{offer.held.about} ({offer.withheld})", 4, "  -")]
        lines += [line for told in moves(offer) for line in screen.wrap(told, 4)]
    head = ["", screen.bold("Told, and never changed"), *screen.wrap(_NEVER)]
    return [*head, *lines] if lines else []


_NEVER = "What bears on a danger or on a caution stays as its author wrote it."


def _remarks(screen: Screen, found: Proposal) -> list[str]:
    told = []
    if found.offers.same:
        same = found.offers.same
        told.append(
            f"{same} numbers stay as they are." if same > 1 else "One number stays as it is."
        )
    if found.unsettled:
        told.append(f"Of {found.unsettled} more too few cases speak.")
    told += [
        f"The word {word.word} stands for {word.stands_for:.3g}; the {word.numbers} numbers "
        f"written with it come to {word.comes_to:.2g} as a whole."
        for word in found.words
    ]
    if not found.settled:
        told.append("The numbers still moved a little at the last pass.")
    if found.lightened:
        told.append(
            f"{found.lightened} cases hold more answers than can be taken in at once; the dearest "
            "of them were left out."
        )
    if found.minutes is not None and found.minutes.not_used:
        unused = (f"{n} {why.replace('-', ' ')}" for why, n in found.minutes.not_used.items())
        told.append(f"Times not used: {', '.join(unused)}.")
    if found.unranked:
        told.append(f"{found.unranked} of the cases looked at have no ranking.")
    which = "later cases" if found.unseen else "cases it was learnt from"
    told.append(f"Effects are on {len(found.looked)} {which}, each number moved alone.")
    return screen.wrap(" ".join(told))


def _cases(count: int) -> str:
    return f"{count:,} case{'' if count == 1 else 's'}"


def _names(what: str, cases: Sequence[str]) -> str:
    some = f": {', '.join(cases[:3])}" if cases else ""
    return f"{what} in {len(cases)}{some}{', ...' if len(cases) > 3 else ''}"
