"""Checks, repairs and set-ups: what they take, how they are done, what they show or mend."""

from faultnet.handbook.teller import Teller, Words, listed, noted
from faultnet.model.check import Check, Work
from faultnet.model.in_words import plain
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.writing.document import Block, Bullets, Section, Text


def check_section(t: Teller, check: Check) -> Section:
    """Return the section of a check."""
    return Section(
        check.title,
        (*t.cautions(check.work.cautions), *noted(check.note, t.only(check.only_when))),
        f"checks/{check.id}",
        (
            Section(t.say("work.takes"), tuple(takes(t, check.work))),
            *doing(t, check.work),
            *listed(t.say("work.reveals"), map(t.about, check.reveals)),
            *listed(t.say("work.spoils"), map(t.about, check.spoils)),
        ),
    )


def repair_section(t: Teller, repair: Repair) -> Section:
    """Return the section of a repair."""
    instead = [t.known.repairs[repair.or_replace]] if repair.or_replace else []
    brings = [t.chance(t.known.causes[name], number) for name, number in repair.brings.items()]
    return Section(
        repair.title,
        (*t.cautions(repair.work.cautions), *noted(repair.note)),
        f"repairs/{repair.id}",
        (
            Section(t.say("work.takes"), (*takes(t, repair.work), *proof(t, repair))),
            *doing(t, repair.work),
            *listed(t.say("work.and-parts"), priced(t, repair.parts)),
            *listed(t.say("work.instead"), [(t.to(each),) for each in instead]),
            *listed(t.say("work.mends"), [(t.to(c),) for c in t.by.mends.get(repair.id, ())]),
            *listed(t.say("work.brings"), brings),
        ),
    )


def set_up_section(t: Teller, set_up: SetUp) -> Section:
    """Return the section of a set-up."""
    hands = f"{t.say('work.hands', people=f'{set_up.hands.value:g}')} "
    facts: list[Text] = [
        t.told("work.make", set_up.make),
        t.told("work.undo", set_up.undo),
        t.say("work.who", who=t.say(f"who.{set_up.who}")),
        (hands, t.origin(set_up.hands)),
    ]
    wanted = t.by.wanted_by.get(set_up.id, ())
    return Section(
        set_up.title,
        (*t.cautions(set_up.cautions), *noted(set_up.note), Bullets(tuple(facts))),
        f"set-ups/{set_up.id}",
        (
            *listed(t.say("work.requires"), [(t.to(t.known.set_ups[s]),) for s in set_up.requires]),
            *listed(t.say("work.steps"), set_up.steps, numbered=True),
            *listed(
                t.say("work.procedures"),
                [(t.to(t.known.procedures[each]),) for each in set_up.procedures],
            ),
            *listed(t.say("work.wanted"), [(t.to(each),) for each in wanted]),
        ),
    )


def takes(t: Teller, work: Work) -> list[Block]:
    """Return minutes, who, power, place, valves, tools and set-ups of a piece of work."""
    facts: list[Text] = [t.told("work.minutes", work.minutes)]
    if work.waiting.value:
        facts.append(t.told("work.waiting", work.waiting))
    facts += [
        t.say("work.who", who=t.say(f"who.{work.who}")),
        t.say(f"power.{work.power}"),
        t.say(f"opens.{work.opens}"),
        t.say("work.place", place=t.say(f"place.{work.place}")),
    ]
    if work.valves:
        facts.append(t.say("work.valves", valves=", ".join(map(plain, work.valves))))
    if work.tools:
        facts.append(t.say("work.tools", tools=", ".join(map(plain, work.tools))))
    facts += [_made_ready(t, name, on=on) for name, on in work.set_ups.items()]
    return [Bullets(tuple(facts))]


def _made_ready(t: Teller, name: str, *, on: bool) -> Words:
    set_up = t.known.set_ups[name]
    state = t.say("work.on" if on else "work.off")
    make, undo = t.told("work.make", set_up.make), t.told("work.undo", set_up.undo)
    return (f"{t.say('work.set-ups')}: ", t.to(set_up), f" {state}; ", *make, "; ", *undo)


def doing(t: Teller, work: Work) -> list[Section]:
    """Return the steps of a piece of work, and the procedures that it is done by."""
    procedures = [(t.to(t.known.procedures[each]),) for each in work.procedures]
    return [
        *listed(t.say("work.steps"), work.steps, numbered=True),
        *listed(t.say("work.procedures"), procedures),
    ]


def proof(t: Teller, repair: Repair) -> list[Block]:
    """Return how often a repair mends, how that is proved, and what the water needs after it."""
    facts: list[Text] = [t.told("work.succeeds", repair.succeeds)]
    if repair.proof:
        facts.append(t.say("work.proof", proof=repair.proof))
    facts.append(t.told("work.proof-minutes", repair.proof_minutes))
    water = t.say(f"disinfect.{repair.disinfect}")
    size = t.known.rates.disinfection.get(repair.disinfect)
    facts.append((f"{water} ", *t.told("work.disinfection", size)) if size else water)
    return [Bullets(tuple(facts))]


def priced(t: Teller, parts: tuple[str, ...]) -> list[Text]:
    """Return parts with the price of what serves as one, where it is known."""
    return [_priced(t, part) for part in parts]


def _priced(t: Teller, part: str) -> Text:
    for item in t.known.stock.values():
        if part in item.provides and item.price is not None:
            price = t.say(
                "work.price", price=f"{item.price.value:g}", currency=t.known.rates.currency
            )
            return (f"{plain(part)}: {price} ", t.origin(item.price))
    return f"{plain(part)}: {t.say('work.no-price')}"
