"""The whole proposal: numbers from closed cases, ranked by what they do."""

from collections.abc import Collection, Mapping

import msgspec

from faultnet.advice.subject import make_subject
from faultnet.learning.aside import Aside, aside
from faultnet.learning.drift.drift import Drifts, learn_drift
from faultnet.learning.estimate.estimate import estimate
from faultnet.learning.estimate.priors import Kinds, Priors
from faultnet.learning.estimate.word_drift import WordDrift, word_drifts
from faultnet.learning.minutes.minutes import PRIOR, LearntMinutes, learn_minutes
from faultnet.learning.newcomers.newcomers import Newcomers, learn_newcomers
from faultnet.learning.proposal.chosen import Seen, Within, seen
from faultnet.learning.proposal.effect import Effect, effects_of, in_order
from faultnet.learning.proposal.looked import Looked
from faultnet.learning.proposal.offer import SECTION_OF, SECTIONS, Offers, Section, offers_of
from faultnet.learning.proposal.run import Run, run_of
from faultnet.learning.proposed import Proposed
from faultnet.learning.regions.regions import LearntRegions, learn_regions
from faultnet.learning.source import SetAside, Source
from faultnet.learning.span import Span
from faultnet.model.knowledge import Knowledge
from faultnet.sharing.sharing import Sharing

LOOK = 40
"""Cases on which effects are worked out, where nothing else is asked for."""
_TIMES = ("how_common", "factor", "strength", "leak", "leads_to", "layout", "circumstance")


class Wanted(msgspec.Struct, frozen=True):
    """What to learn, and how.

    ``prior`` is how much authored numbers count, as a multiple of what they usually do; ``look``
    is on how many cases effects are worked out.
    """

    what: tuple[Section, ...] = tuple(SECTIONS)
    span: Span = Span()
    prior: float = 1.0
    look: int = LOOK


class Proposal(msgspec.Struct, frozen=True):
    """What closed cases propose, and all that is told beside it.

    ``effects`` go by the id of an offer and were worked out on ``looked``, which are later
    cases than those learnt from where ``unseen``; ``unranked`` of them had no ranking. ``aside``
    are the cases that could not be used; ``unsettled`` numbers are spoken of by too few cases.
    Of ``lightened`` cases the dearest answers were left out. ``words`` are those whose numbers
    moved as a whole.
    """

    run: Run
    offers: Offers
    effects: Mapping[str, Effect]
    looked: tuple[Looked, ...]
    unseen: bool
    unranked: int
    places: Mapping[str, int]
    others: Mapping[str, int]
    aside: Aside
    unsettled: int
    settled: bool
    minutes: LearntMinutes | None
    drifts: Drifts | None
    regions: LearntRegions | None = None
    newcomers: Newcomers | None = None
    lightened: int = 0
    words: tuple[WordDrift, ...] = ()


def propose(
    knowledge: Knowledge, system: str, source: Source, wanted: Wanted, sharing: Sharing
) -> Proposal:
    """Return what the cases of a source propose; raise ``UnknownNameError`` for the system."""
    subject = make_subject(knowledge, system)
    held = seen(subject, source, wanted.span, wanted.look, sharing)
    mine = Within(source, system, wanted.span)
    numbers: list[Proposed] = []
    unsettled, settled, lightened = 0, True, 0
    unfit: tuple[SetAside, ...] = ()
    kinds = _kinds(wanted.what)
    if held.used and kinds:
        found = estimate(subject, mine, sharing, kinds, _priors(wanted.prior))
        numbers += found.numbers
        unsettled, settled, lightened = found.unsettled, bool(found.settled), found.lightened
        unfit = _new(found.set_aside, held)
    timed = None
    if held.used and "minutes" in wanted.what:
        timed = learn_minutes(knowledge, mine, sharing, PRIOR * wanted.prior)
        numbers += timed.proposed
    offers = offers_of(knowledge, system, numbers, wanted.what)
    looked = held.after or held.within
    effects, unranked = effects_of(knowledge, system, offers.offered, looked, sharing)
    ordered = msgspec.structs.replace(offers, offered=in_order(offers.offered, effects))
    left_out = {each.case for each in unfit}
    some = bool(held.used)
    return Proposal(
        run_of(system, (each for each in held.used if each[0] not in left_out)),
        ordered,
        effects,
        looked,
        bool(held.after),
        unranked,
        held.places,
        {name: count for name, count in held.systems.items() if name != system},
        held.aside + aside(unfit),
        unsettled,
        settled,
        timed,
        learn_drift(knowledge, mine, sharing) if some else None,
        learn_regions(knowledge, mine, sharing) if some and not knowledge.region else None,
        learn_newcomers(knowledge, mine, sharing) if some else None,
        lightened,
        word_drifts(numbers),
    )


def _kinds(what: Collection[Section]) -> Kinds:
    """The kinds of number that the network rests on, of some sections."""
    return frozenset(k for k, section in SECTION_OF.items() if section in what and k != "minutes")


def _priors(times: float) -> Priors:
    usual = Priors()
    return msgspec.structs.replace(usual, **{n: getattr(usual, n) * times for n in _TIMES})


def _new(found: Collection[SetAside], held: Seen) -> tuple[SetAside, ...]:
    """What the estimate set aside itself, by its id; the others are counted already."""
    used = {name for name, _ in held.used}
    return tuple(each for each in found if each.place == each.case and each.case in used)
