"""What closed cases propose: `learn`."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.plain import Json

if TYPE_CHECKING:
    from faultnet.learning.drift.drift import Drift
    from faultnet.learning.newcomers.newcomers import Newcomer
    from faultnet.learning.proposal.effect import Effect
    from faultnet.learning.proposal.offer import Offer, Written
    from faultnet.learning.proposal.proposal import Proposal
    from faultnet.learning.proposal.tried import Trial
    from faultnet.learning.proposed import Proposed
    from faultnet.learning.regions.regions import Regional
    from faultnet.learning.source import SetAside
    from faultnet.model.knowledge import Knowledge


class IntervalShape(msgspec.Struct, frozen=True):
    """The range that a number lies in with the probability ``holds``."""

    low: float
    high: float
    holds: float


class EvidenceShape(msgspec.Struct, frozen=True):
    """What speaks for a number: the cases alone, what the file counts for, cases by name."""

    value: float
    interval: IntervalShape
    alone: float | None
    prior: float
    speak_for: float
    against: float
    cases: tuple[str, ...]


class NumberShape(msgspec.Struct, frozen=True):
    """A number as it stands in a file and as it would; ``label`` tells it from its like."""

    label: str
    place: str
    old: float
    word: str | None
    provenance: tuple[str, ...]
    new: float
    evidence: EvidenceShape | None


class EffectShape(msgspec.Struct, frozen=True):
    """What an offer does: in how many cases what was confirmed becomes how much likelier.

    ``gain`` is summed over them, in nats; in ``firsts`` another cause comes first. ``minutes``
    is summed over the times that a step was done.
    """

    cases: int
    gain: float
    firsts: int
    minutes: float


class OfferShape(msgspec.Struct, frozen=True):
    """Numbers that are accepted together; ``clear`` where one lies outside its range.

    ``withheld`` says why they are told and not offered.
    """

    id: str
    section: str
    about: str
    numbers: tuple[NumberShape, ...]
    clear: bool
    effect: EffectShape | None
    withheld: str | None
    notes: tuple[str, ...]


class AsideShape(msgspec.Struct, frozen=True):
    """A case that could not be used: where it stands, and why."""

    case: str
    place: str
    code: str
    reason: str


class CasesShape(msgspec.Struct, frozen=True):
    """The cases learnt from, those outside the days asked for, those that could not be used."""

    used: int
    since: str
    until: str
    digest: str
    before: int
    after: int
    other_systems: dict[str, int]
    set_aside: dict[str, int]
    some_set_aside: tuple[AsideShape, ...]


class LookedShape(msgspec.Struct, frozen=True):
    """The cases on which effects were worked out; ``unseen`` where none was learnt from."""

    cases: int
    unseen: bool
    unranked: int


class DriftShape(msgspec.Struct, frozen=True):
    """A cause that becomes commoner or rarer, or that has a season."""

    cause: str
    kind: str
    factor: float
    low: float
    high: float
    p: float
    month: int | None
    explained_by: tuple[str, ...]
    goes_with: tuple[str, ...]
    said: str


class WordShape(msgspec.Struct, frozen=True):
    """A word whose numbers moved as a whole: what it stands for, and what they come to."""

    word: str
    stands_for: float
    comes_to: float
    numbers: int


class RegionalShape(msgspec.Struct, frozen=True):
    """A number that is another in a region than elsewhere."""

    region: str
    of: str
    about: str
    elsewhere: float
    evidence: EvidenceShape


class NewcomerShape(msgspec.Struct, frozen=True):
    """A cause that the files may lack; ``answers`` is a draft for `faultnet add cause`."""

    words: tuple[str, ...]
    sightings: int
    said: str
    answers: str
    cases: tuple[str, ...]


class TrialShape(msgspec.Struct, frozen=True):
    """What accepted offers do to cases, exactly; of two numbers the first is before.

    ``loss`` is minus the log of the chance of what was confirmed, ``top_3`` how often it is
    among the first three; in ``firsts`` another cause, in ``steps`` another step comes first.
    """

    cases: int
    unranked: int
    loss: tuple[float, float]
    top_3: tuple[float, float]
    minutes: tuple[float, float]
    firsts: tuple[str, ...]
    steps: tuple[str, ...]


class WritingShape(msgspec.Struct, frozen=True):
    """What was accepted, the files with it, what lint tells of them, and whether it was written."""

    source: str
    accepted: tuple[str, ...]
    by_hand: dict[str, str]
    changes: list[Json]
    problems: list[Json]
    trial: TrialShape | None
    comparison: Json | None
    written: bool
    patch: str | None


class LearnShape(msgspec.Struct, frozen=True):
    """The proposal; ``same`` numbers stay as they are, ``unsettled`` too few cases speak of.

    ``settled`` is false where the numbers still moved when it ended. ``homeless`` are numbers
    that stand in no file. Of ``lightened`` cases some answers were left out, being too many at
    once. ``region_files`` holds a draft of the file of each region.
    """

    system: str
    cases: CasesShape
    looked: LookedShape
    offers: tuple[OfferShape, ...]
    withheld: tuple[OfferShape, ...]
    same: int
    unsettled: int
    settled: bool
    homeless: tuple[str, ...]
    times_not_used: dict[str, int]
    drift: tuple[DriftShape, ...]
    regions: tuple[RegionalShape, ...]
    newcomers: tuple[NewcomerShape, ...]
    writing: WritingShape | None
    lightened: int = 0
    words: tuple[WordShape, ...] = ()
    region_files: dict[str, str] = {}


def learn_shape(
    found: "Proposal", knowledge: "Knowledge", writing: WritingShape | None = None
) -> LearnShape:
    """Return a proposal."""
    from faultnet.learning.aside import NAMED
    from faultnet.learning.regions.draft import region_files

    offers, run = found.offers, found.run
    return LearnShape(
        run.system,
        CasesShape(
            len(run.cases),
            run.since,
            run.until,
            run.digest,
            found.places.get("before", 0),
            found.places.get("after", 0),
            dict(found.others),
            dict(sorted(found.aside.counts.items())),
            tuple(map(_aside, found.aside.first(NAMED))),
        ),
        LookedShape(len(found.looked), found.unseen, found.unranked),
        tuple(_offer(each, found.effects.get(each.id)) for each in offers.offered),
        tuple(_offer(each, None) for each in offers.withheld),
        offers.same,
        found.unsettled,
        found.settled,
        tuple(each.about for each in offers.homeless),
        found.minutes.not_used if found.minutes else {},
        tuple(map(_drift, found.drifts.found if found.drifts else ())),
        tuple(map(_regional, found.regions.numbers if found.regions else ())),
        tuple(
            _newcomer(each, knowledge)
            for each in (found.newcomers.found if found.newcomers else ())
        ),
        writing,
        found.lightened,
        tuple(WordShape(w.word, w.stands_for, w.comes_to, w.numbers) for w in found.words),
        region_files(found.regions) if found.regions else {},
    )


def trial_shape(found: "Trial") -> TrialShape:
    """Return what accepted offers do to cases."""
    return TrialShape(
        found.cases,
        found.left,
        found.loss,
        found.top,
        found.minutes,
        found.firsts,
        found.steps,
    )


def _offer(offer: "Offer", effect: "Effect | None") -> OfferShape:
    told = None
    if effect is not None:
        told = EffectShape(effect.cases, effect.gain, effect.firsts, effect.minutes)
    return OfferShape(
        offer.id,
        offer.section,
        offer.held.about,
        tuple(map(_number, offer.written)),
        offer.clear,
        told,
        offer.withheld or None,
        offer.notes,
    )


def _number(each: "Written") -> NumberShape:
    number = each.number
    return NumberShape(
        each.label,
        str(number.origin),
        number.value,
        number.word or None,
        number.provenance,
        each.value,
        _evidence(each.proposed) if each.proposed else None,
    )


def _evidence(told: "Proposed") -> EvidenceShape:
    span = told.interval
    return EvidenceShape(
        told.value,
        IntervalShape(span.low, span.high, span.holds),
        told.alone,
        told.prior,
        told.speak_for,
        told.against,
        told.cases,
    )


def _aside(each: "SetAside") -> AsideShape:
    return AsideShape(each.case, each.place, each.code, each.reason)


def _regional(each: "Regional") -> RegionalShape:
    told = each.proposed
    return RegionalShape(each.region, told.of, told.about, each.shared, _evidence(told))


def _newcomer(each: "Newcomer", knowledge: "Knowledge") -> NewcomerShape:
    from faultnet.learning.newcomers.draft import draft, said

    told = said(each, knowledge)
    return NewcomerShape(each.words, each.sightings, told, draft(each, knowledge), each.cases)


def _drift(each: "Drift") -> DriftShape:
    from faultnet.learning.drift.words import said

    return DriftShape(
        each.cause,
        each.kind,
        each.factor,
        each.low,
        each.high,
        each.p,
        each.month or None,
        each.explained_by,
        each.goes_with,
        said(each),
    )
