"""The outcome of a call as the dispatcher reads it: a screen, and more behind it."""

from collections.abc import Iterable, Iterator

from faultnet.desk.money import Price, Prices
from faultnet.desk.outcome import LEAST, Arranged, Likely, Loaded, Outcome, Water
from faultnet.desk.spoken import hours_said, span_said, time_said
from faultnet.visit.turn import Line, lines

WORTH_TELLING = 0.05
"""Parts and people that are less likely stand in the list behind."""

WORTH_ARRANGING = 0.1
"""Things to arrange that are less likely stand in the list behind."""

PARTS = 4
"""Parts named on the first screen."""

JUDGED = " (judged)"
"""The mark of a number without a source but judgement."""

WHO = {"qualified": "somebody licensed for live work", "specialist": "the specialist"}
"""People as they are told."""

HOW_LONG = (
    "Time on site: half of such visits are over by the first figure, nine in ten by the second. "
    "It comes from the plan that looks one check ahead, all its ways by their chances; work until "
    "it is handed over to the specialist, waits up to an hour included."
)
ROUGH = (
    "Chances of parts, tools, people and things to arrange are rough here: what is not known of "
    "layout and circumstances is averaged out. Telling more of it makes them exact."
)
HOW_SURE = (
    "Chances are exact for what was told. The numbers they come from are judgement for the most "
    "part, and so are all times, prices and hours that are not marked otherwise in the files."
)


def summary(outcome: Outcome) -> tuple[Line, ...]:
    """Return what is told at the end of a call."""
    told = [
        Line("say", f"Somebody comes: {outcome.urgency.target}."),
        *water_said(outcome.water),
        *(_share(each) for each in outcome.causes[:3]),
        _mark(outcome.unlisted, "something that is not in these files"),
        Line("say", _by_phone(outcome)),
        Line(
            "say", f"On site: {span_said(outcome.site.usual, outcome.site.long)}.{_drive(outcome)}"
        ),
        Line("say", f"Send: {_people(outcome)}."),
        *(_arrange(each) for each in outcome.arrange if each.probability >= WORTH_ARRANGING),
        Line("say", f"Parts: {_first_parts(outcome.parts)}."),
        *map(_truck, outcome.first_visit[:1]),
        Line("say", _price(outcome.prices)),
    ]
    return tuple(told)


def behind(outcome: Outcome) -> tuple[Line, ...]:
    """Return all of it, with how the figures came about."""
    prices = outcome.prices
    others = [f"{WHO.get(who, who)} {_sum(p, prices.currency)}" for who, p in prices.others.items()]
    late = prices.after_hours
    later = f"; after hours {_sum(late, prices.currency)} an hour" if late else ""
    again = f"a second trip {_sum(prices.second_trip, prices.currency)}"
    return (
        Line("say", "Probably wrong:"),
        *map(_share, outcome.causes),
        Line("note", f"More than one fault at once: {outcome.more_than_one:.0%}."),
        Line("say", "Trucks, to end it at the first visit:"),
        *map(_truck, outcome.first_visit),
        *_arranging(outcome),
        Line("say", f"Parts, those above {LEAST:.0%}:"),
        *map(_share, outcome.parts),
        Line("say", f"Tools, those above {LEAST:.0%}:"),
        *map(_share, outcome.tools),
        Line("say", f"Behind the price: {again}; {'; '.join(others)}{later}."),
        Line("note", HOW_LONG),
        *((Line("note", ROUGH),) if outcome.rough else ()),
        Line("note", HOW_SURE),
    )


def until_then(outcome: Outcome) -> tuple[Line, ...]:
    """Return what the house does and does not do until somebody comes."""
    return (
        Line("say", "Until then:"),
        *lines("item", outcome.do),
        *lines("caution", outcome.do_not),
    )


def _share(each: Likely) -> Line:
    return _mark(each.probability, each.title)


def _mark(chance: float, title: str) -> Line:
    return Line("item", title, f"{chance:4.0%}")


def water_said(water: Water | None) -> list[Line]:
    """Return how long the water lasts; nothing where it is not known."""
    if water is None:
        return []
    days = f"{water.least_days:.0f} to {water.most_days:.0f} days"
    if water.most_days < 1.5:
        days = f"{time_said(water.least_days * 1440.0)} to {time_said(water.most_days * 1440.0)}"
    told = f"Water left: {water.gallons:g} gal for {water.people:g} people, {days}."
    return [Line("say", told)]


def _by_phone(outcome: Outcome) -> str:
    return f"Chance that it can still be put right by phone: {outcome.by_phone:.0%}."


def _drive(outcome: Outcome) -> str:
    return f" Drive: {outcome.drive:g} min." if outcome.drive is not None else ""


def _people(outcome: Outcome) -> str:
    more = [
        f"{WHO.get(p.id, p.title)} {p.probability:.0%}"
        for p in outcome.people
        if p.id != "technician" and p.probability >= WORTH_TELLING
    ]
    return f"a technician; besides, perhaps: {', '.join(more)}" if more else "a technician"


def _arrange(each: Arranged) -> Line:
    mark = JUDGED if each.judgement else ""
    told = f"Arrange: {each.title}, {hours_said(each.hours)} ahead{mark}"
    return _mark(each.probability, told)


def _arranging(outcome: Outcome) -> Iterator[Line]:
    """Yield what has to be arranged ahead, each with what to do about it."""
    for each in outcome.arrange:
        yield _arrange(each)
        yield Line("note", each.say)


def _first_parts(parts: Iterable[Likely]) -> str:
    likely = [p for p in parts if p.probability >= WORTH_TELLING][:PARTS]
    return ", ".join(f"{p.title} {p.probability:.0%}" for p in likely) or "none likely"


def _truck(each: Loaded) -> Line:
    name = f"Truck {each.truck}" if each.truck else "The usual truck"
    add = "; ".join(f"{item.title} {item.probability:.0%}" for item in each.add)
    begin = f"{name} ends it at the first visit: {each.as_it_stands:.0%}"
    if not add:
        return Line("say", f"{begin}. Nothing more is worth its loading.")
    return Line("say", f"{begin}, {each.with_list:.0%} with: {add}.")


def _price(prices: Prices) -> str:
    first = _sum(prices.first_hour, prices.currency)
    hour = f"{prices.hour.money:g} an hour"
    return f"Trip and first hour: {first}. Then {hour}, and the parts."


def _sum(price: Price, currency: str) -> str:
    return f"{price.money:g} {currency}{JUDGED if price.judgement else ''}"
