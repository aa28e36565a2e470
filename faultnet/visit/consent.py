"""What a repair comes to in money, whether it is better replaced, and the customer's yes."""

from faultnet.advice.site import Prices
from faultnet.cases.events import Agreed, StepBegun, StepSkipped
from faultnet.model.in_words import plain
from faultnet.model.repair import Repair
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Reply, Turn

TOLD = "limit"
"""The field of the call sheet with the customer's own limit; counts where it is a number."""

LIMIT = "price-limit"
"""The setting of a site that stands for the limit of the rates."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the turn that has the customer asked, for a repair above the limit."""
    repair = talk.subject.knowledge.repairs.get(at.step)
    if repair is None or not dear(talk, at, repair):
        return None
    rates = talk.subject.knowledge.rates
    amount, told = estimate(talk, at, repair)
    body = (
        Line("say", told),
        Line("say", f"Above {limit(talk, at):.0f} {rates.currency} the customer is asked first."),
        *instead(talk, at, repair),
        Line("note", "Rough figures. Nothing is begun before the yes."),
    )
    agreed = Agreed(repair.id, round(amount, 2), rates.currency)
    replies = (
        Reply("y", "the customer agrees", agreed),
        Reply("n", "no: not this repair", StepSkipped(repair.id, "declined")),
        *larger(repair, at),
    )
    return Turn("consent", repair.title, "Ask the customer first", body, replies)


def dear(talk: Talk, at: Progress, repair: Repair) -> bool:
    """Whether a repair comes to more than the limit, and nobody has agreed to it."""
    at_most = limit(talk, at)
    return repair.id not in at.agreed and 0.0 < at_most < estimate(talk, at, repair)[0]


def limit(talk: Talk, at: Progress) -> float:
    """Return the money above which the customer is asked; 0 is no limit.

    What was told on the phone for this case goes before what holds for the site.
    """
    rates = talk.subject.knowledge.rates
    for told in (at.call_sheet.get(TOLD, ""), at.case.settings.get(LIMIT, "")):
        bare = told.removesuffix(rates.currency).strip()
        if bare.replace(".", "", 1).isdigit():
            return float(bare)
    return rates.consent_above.value if rates.consent_above else 0.0


def estimate(talk: Talk, at: Progress, repair: Repair) -> tuple[float, str]:
    """Return the money of a repair from where the site stands, and how it comes about.

    Labour with set-ups, proof and disinfection, whoever has to be called, and parts as far
    as they have a price; in the currency of the rates.
    """
    known = talk.subject.knowledge
    price = Prices(known).repair(repair, frozenset(at.evidence.set_ups))
    called = [t.id.removeprefix("called:") for t in price.transitions if t.id.startswith("called:")]
    calls = sum(known.rates.calls[who].money.value for who in called)
    on_call = sum(known.rates.calls[who].minutes.value for who in called)
    labour = (price.minutes - on_call) * known.rates.labour_per_hour.value / 60.0
    parts, unpriced = _parts(talk, repair)
    sums = {"labour": labour, "parts": parts, "calls": calls}
    told = ", ".join(f"{what} {money:.0f}" for what, money in sums.items() if money)
    without = f" Without a price: {', '.join(unpriced)}." if unpriced else ""
    amount = labour + parts + calls
    return amount, f"About {amount:.0f} {known.rates.currency}: {told}.{without}"


def instead(talk: Talk, at: Progress, repair: Repair) -> tuple[Line, ...]:
    """Return what replacing would come to instead of mending, if it can be."""
    other = talk.subject.knowledge.repairs.get(repair.or_replace)
    if other is None or at.instead_of:
        return ()
    _, mend = estimate(talk, at, repair)
    _, new = estimate(talk, at, other)
    title = other.title[0].lower() + other.title[1:]
    return (Line("item", f"Mend. {mend}"), Line("item", f"Or {title}. {new}"))


def larger(repair: Repair, at: Progress) -> tuple[Reply, ...]:
    """Return the reply that does the larger repair instead."""
    if not repair.or_replace or at.instead_of:
        return ()
    begun = StepBegun(repair.or_replace, instead_of=repair.id)
    return (Reply("r", "replace it instead of mending", begun),)


def _parts(talk: Talk, repair: Repair) -> tuple[float, list[str]]:
    """The money of the parts of a repair, and those without a price."""
    stock = talk.subject.knowledge.stock.values()
    items = {p: next((i for i in stock if p in i.provides), None) for p in repair.parts}
    priced = {item.id: item.price.value for item in items.values() if item and item.price}
    unpriced = [plain(p) for p, item in items.items() if not item or not item.price]
    return sum(priced.values()), unpriced
