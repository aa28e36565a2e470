"""The outcome of a call as plain data: how urgent, what is wrong, whom and what to send."""

from collections.abc import Iterable

import msgspec
from msgspec.structs import replace

from faultnet.advice.ahead import look_ahead
from faultnet.advice.dangers import dangers_met
from faultnet.advice.load import FirstVisit, Loading
from faultnet.advice.outfit import Need, Outfitting
from faultnet.advice.outlooks import Outlooks
from faultnet.advice.reached import reached
from faultnet.advice.situation import situate
from faultnet.advice.subject import Subject
from faultnet.cases.events import AdviceShown
from faultnet.desk import by_phone, meanwhile, sheet
from faultnet.desk.desk import Desk, Truck
from faultnet.desk.money import Prices, judged, prices_of
from faultnet.desk.site_time import SiteTime, site_time
from faultnet.desk.urgency import Urgency, urgency_of
from faultnet.model.evidence import Evidence
from faultnet.model.in_words import plain
from faultnet.planning.plan import Plan
from faultnet.reckon.units import UnfitNumberError
from faultnet.reckon.water_left import days_left, people_gal_day
from faultnet.visit.progress import Progress

SHOWN = 5
"""Causes shown."""

LEAST = 0.02
"""Parts, tools, people and things to arrange that are less likely are left out."""

TECHNICIAN = "technician"


class Likely(msgspec.Struct, frozen=True):
    """Something by its id and title, with its probability."""

    id: str
    title: str
    probability: float


class Arranged(msgspec.Struct, frozen=True):
    """Something to arrange ahead, how likely it is needed, and its usual hours."""

    id: str
    title: str
    probability: float
    hours: float
    say: str
    judgement: bool


class Loaded(msgspec.Struct, frozen=True):
    """A truck with its chance to end it at the first visit: as it stands, and with more.

    ``add`` names the items worth loading besides, best first; the usual truck has no name.
    """

    truck: str
    as_it_stands: float
    with_list: float
    add: tuple[Likely, ...]


class Water(msgspec.Struct, frozen=True):
    """Water left in gallons, and for how many days it lasts, at least and at most."""

    gallons: float
    people: float
    least_days: float
    most_days: float


class Outcome(msgspec.Struct, frozen=True):
    """What a call comes to. ``drive`` is in minutes.

    All chances are exact for what was told; where that would take many seconds, those of
    parts, tools, people and things to arrange are ``rough``, with unknown layout averaged.

    ``first_visit`` holds the trucks, best first. ``people`` is who may have to do something,
    ``sheet`` what was told for the call sheet.
    """

    system: str
    urgency: Urgency
    causes: tuple[Likely, ...]
    unlisted: float
    more_than_one: float
    by_phone: float
    people: tuple[Likely, ...]
    arrange: tuple[Arranged, ...]
    parts: tuple[Likely, ...]
    tools: tuple[Likely, ...]
    first_visit: tuple[Loaded, ...]
    site: SiteTime
    prices: Prices
    do: tuple[str, ...]
    do_not: tuple[str, ...]
    sheet: dict[str, str]
    rough: bool
    drive: float | None = None
    water: Water | None = None


def outcome_of(desk: Desk, at: Progress) -> Outcome:
    """Return the outcome of a call as it stands.

    Raises ``ConflictError``, ``ImpossibleEvidenceError`` and ``TooLargeError``.
    """
    key = f"outcome {msgspec.json.encode(at.call_sheet)!r} {sorted(by_phone.untried(desk, at))}"
    return desk.counsel.once(key, at.evidence, lambda: _outcome(desk, at))


def forecast(outcome: Outcome) -> AdviceShown:
    """Return what is noted of an outcome: the first step, and the causes that are likely."""
    causes = {each.id: round(each.probability, 6) for each in outcome.causes}
    return AdviceShown(outcome.site.first, causes, round(outcome.unlisted, 6))


def _outcome(desk: Desk, at: Progress) -> Outcome:
    subject = desk.subject
    ranking = desk.counsel.ranking(at.evidence)
    plan = _plan(subject, at.evidence)
    outfit = Outfitting(subject, at.evidence, _checks(subject, plan), LEAST)
    causes = {each.id: each.probability for each in ranking.causes}
    return Outcome(
        subject.system.id,
        urgency_of(desk, at),
        tuple(Likely(c.id, c.title, c.probability) for c in ranking.causes[:SHOWN]),
        ranking.unlisted,
        ranking.more_than_one,
        by_phone.chance(desk, at),
        tuple(_likely(n, plain(n.id)) for n in outfit.people if n.id != by_phone.CALLER),
        _arranged(subject, outfit),
        tuple(_likely(need, plain(need.id)) for need in outfit.parts),
        tuple(_likely(need, plain(need.id)) for need in outfit.tools),
        _first_visit(desk.sent, outfit),
        site_time(subject, plan),
        prices_of(subject.knowledge.rates),
        meanwhile.dos(desk, at, causes),
        meanwhile.NEVER,
        sheet.told(at),
        outfit.rough,
        sheet.number(at, sheet.DRIVE),
        water_of(at),
    )


def _plan(subject: Subject, evidence: Evidence) -> Plan:
    """The plan of whoever drives, once what is dangerous has been made safe."""
    met = {danger.finding for danger in dangers_met(subject, evidence)}
    safe = replace(evidence, made_safe=tuple({*evidence.made_safe, *met}))
    return look_ahead(Outlooks(situate(subject, safe, TECHNICIAN)), 0.0)


def _checks(subject: Subject, plan: Plan) -> dict[str, float]:
    """How likely the plan comes to each of its checks."""
    chances = reached(plan.first)
    return {step: p for step, p in chances.items() if step in subject.knowledge.checks}


def _arranged(subject: Subject, outfit: Outfitting) -> tuple[Arranged, ...]:
    known = subject.knowledge.lead_times
    found = [(known[need.id], need) for need in outfit.lead_times]
    return tuple(
        Arranged(
            each.id, each.title, need.probability, each.hours.value, each.say, judged(each.hours)
        )
        for each, need in found
    )


def _first_visit(trucks: Iterable[Truck], outfit: Outfitting) -> tuple[Loaded, ...]:
    visit = FirstVisit(outfit)
    chances = {need.id: need.probability for need in outfit.items}
    titles = {item.id: item.title for item in outfit.subject.knowledge.stock.values()}
    found = []
    for truck in trucks:
        loading: Loading = visit.best(truck.load)
        items = dict.fromkeys(item for added in loading.added for item in added.items)
        add = tuple(Likely(item, titles[item], chances.get(item, 0.0)) for item in items)
        found.append(Loaded(truck.name, loading.begin, loading.fix, add))
    return tuple(sorted(found, key=lambda each: (-each.with_list, -each.as_it_stands, each.truck)))


def _likely(need: Need, title: str) -> Likely:
    return Likely(need.id, title, need.probability)


def water_of(at: Progress) -> Water | None:
    """Return the water that is left, as far as it was told."""
    gallons, people = sheet.number(at, sheet.WATER), sheet.number(at, sheet.PEOPLE)
    if gallons is None or not people:
        return None
    try:
        days = days_left(gallons, people_gal_day(people))
    except UnfitNumberError:
        return None
    return Water(gallons, people, days.low, days.high)
