"""Offers in words: what stands in the file, what the cases say, what it would do."""

from collections.abc import Iterator
from math import exp

from faultnet.learning.proposal.effect import Effect
from faultnet.learning.proposal.offer import Offer, Written

LEAST = 0.0005
"""What is less is told as that."""
NAMED = 5
"""Cases that are named."""


def moves(offer: Offer) -> Iterator[str]:
    """Yield each number: what stands in the file, what the cases make of it, how many speak."""
    for each in offer.written:
        label = f"{each.label}: " if each.label else ""
        yield f"{label}{_file(each)} in the file, {_now(each)}"


def reasons(offer: Offer) -> Iterator[str]:
    """Yield what one may want to know besides: what the file counts for, cases, notes."""
    for each in offer.written:
        told = each.proposed
        if told is None:
            continue
        label = f"{each.label}: " if each.label else ""
        alone = "" if told.alone is None else f" The cases alone say {_figure(told.alone)}."
        rests = ", ".join(each.number.provenance)
        yield f"{label}the file ({rests}) counts for {_figure(told.prior)} cases.{alone}"
        if told.cases:
            yield f"{label}some of the cases: {', '.join(told.cases[:NAMED])}"
    yield from offer.notes


def effect_told(effect: Effect, looked: int) -> str:
    """Return what an offer does, in a sentence; ``looked`` cases were looked at."""
    if effect.minutes:
        more = "more" if effect.minutes > 0.0 else "less"
        times = "once" if effect.cases == 1 else f"{effect.cases} times"
        return f"{abs(effect.minutes):,.0f} minutes {more} over the {times} that it was done"
    if not effect.cases:
        return f"moves nothing in the {looked} cases looked at"
    mean = exp(effect.gain / effect.cases)
    much = f"{mean:.3g} times as likely" if abs(mean - 1.0) >= 5e-3 else "hardly likelier"
    told = f"what was confirmed becomes {much} in {effect.cases} of {looked} cases looked at"
    if not effect.firsts:
        return told
    many = "one" if effect.firsts == 1 else str(effect.firsts)
    return f"{told}; another cause comes first in {many}"


def place(offer: Offer) -> str:
    """Return the file and line of the first number."""
    origin = offer.written[0].number.origin
    return f"{origin.file}:{origin.line}"


def _file(each: Written) -> str:
    value = _figure(each.number.value)
    return f"{each.number.word} ({value})" if each.number.word else value


def _now(each: Written) -> str:
    told, value = each.proposed, _figure(each.value)
    if told is None:
        return f"{value} to make room"
    span = f"{value} ({_figure(told.interval.low)} to {_figure(told.interval.high)})"
    if told.kind == "minutes":
        stray = f"; {_count(told.against)} more look like a clock that ran on"
        return f"{span} by {_count(told.speak_for)} times{stray if told.against >= 0.5 else ''}"
    cases = _count(told.speak_for + told.against)
    return f"{span} by {cases} cases, {_count(told.speak_for)} for, {_count(told.against)} against"


def _figure(value: float) -> str:
    if 0.0 < value < LEAST:
        return f"under {LEAST}"
    return f"{value:.3g}" if value < 1000.0 else f"{value:,.0f}"


def _count(value: float) -> str:
    """Cases, which may count by halves."""
    return f"{value:,.0f}" if value >= 10.0 or value == round(value) else f"{value:.1f}"
