"""Disinfection: what the repairs ask for, the dose worked out, time of contact, sample."""

from collections.abc import Sequence

from faultnet.cases.events import Disinfected
from faultnet.reckon.answer import rounded
from faultnet.reckon.bleach import CONTACT, TARGET_MG_L, bleach_floz
from faultnet.reckon.cautions import BLEACH, CISTERN, LOCAL, NOT_DRINK
from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError, converted, parts
from faultnet.visit.retry import DISINFECT
from faultnet.visit.sheet.line import contact_said
from faultnet.visit.sheet.page import Page, UnfitLineError, asking, choosing, fields, one_line
from faultnet.visit.turn import BACK, Line, Reply, Turn, lines

STRENGTHS = (5.25, 6.0, 8.25)
"""Per cent on bottles of household bleach."""

SETTING = "water"
"""The setting of a site that holds how much water is to be treated."""

WIPED = Disinfected("chlorinated water", "wiped and flushed")
LONGEST_MINUTES = 7.0 * 24.0 * 60.0
OWN = "As `bleach 6 %, 99floz, 24h`: product, dose with its unit, time of contact."


def offered(page: Page, _: str) -> Turn:
    """Return what the repairs that were done ask for."""
    sizes = [s for s in DISINFECT if any(r.disinfect == s for r in page.repairs)]
    wipe = DISINFECT["wipe"] if sizes == ["wipe"] else ""
    said = wipe if sizes else "No repair that was done asks for it."
    replies = []
    if "wipe" in sizes and not page.has(WIPED):
        replies.append(Reply("", "wiped and flushed with chlorinated water", WIPED))
    if "full" in sizes:
        replies += _full(page)
    other = Reply("t", "type it: product, dose, time", view="sheet:dose")
    body = (*lines("say", (said,) if said else ()), *lines("caution", (NOT_DRINK, LOCAL)))
    return choosing("What was disinfected, and how?", replies, other, body)


def _full(page: Page) -> list[Reply]:
    told = page.at.case.settings.get(SETTING, "")
    other = Reply("", "work out the dose: how much water?", view="sheet:volume")
    try:
        gallons = _gallons(told)
    except UnfitNumberError:
        return [other]
    label = f"the dose for {gallons:g} gal of this site"
    return [Reply("", label, view=f"sheet:bleach:{gallons:g}"), other]


def volume_asked(_: Page, __: str) -> Turn:
    """Return the turn that asks how much water is treated."""
    told = lines("caution", (CISTERN,))
    return asking("How much water is treated?", "volume", "As `1200gal` or `4.5m3`", told)


def volume_taken(page: Page, _: str, text: str) -> Turn:
    """Return the doses for so much water as was typed."""
    return bleach(page, f"{_gallons(one_line(text)):g}")


def bleach(_: Page, gallons: str) -> Turn:
    """Return the dose for each bottle that there is."""
    volume = float(gallons)
    replies = []
    for strength in STRENGTHS:
        ounces = bleach_floz(volume, strength_percent=strength)
        litres = rounded(converted(ounces, "floz", "L"))
        dose = f"{rounded(ounces)} fl oz ({litres} L)"
        view = f"sheet:contact:bleach {strength:g} %,{dose}"
        replies.append(Reply("", f"{strength:g} %: {dose}", view=view))
    body = (
        Line("say", f"Fresh bleach that brings {volume:g} gal to {TARGET_MG_L:g} mg/L."),
        Line("caution", "The local rule may ask for another strength; it goes first."),
        Line("caution", BLEACH),
    )
    other = Reply("t", "type it: product, dose, time", view="sheet:dose")
    return choosing("Which stands on the bottle?", replies, other, body)


def contact(_: Page, given: str) -> Turn:
    """Return the times that rules ask for at this strength; the product and dose are ``given``."""
    product, dose = _given(given, 2)
    replies = [
        Reply("", f"{hours:g} h", view=f"sheet:sample:{product},{dose},{hours * 60.0:g}")
        for strength, hours, _ in CONTACT
        if strength <= TARGET_MG_L
    ]
    rules = [f"{whose}: {hours:g} h at {mg_l:g} mg/L." for mg_l, hours, whose in CONTACT]
    body = (Line("say", "The local rule decides. Seen:"), *lines("item", tuple(rules)))
    other = Reply("t", "type another time", view=f"sheet:time:{product},{dose}")
    return choosing("How long does it stand?", replies, other, body)


def time_asked(_: Page, given: str) -> Turn:
    """Return the turn that asks for the time of contact."""
    return asking("How long does it stand?", f"time:{given}", "As `24h` or `90min`")


def time_taken(page: Page, given: str, text: str) -> Turn:
    """Return the question about the sample, after the time that was typed."""
    return sample(page, f"{given},{_minutes(one_line(text)):g}")


def dose_asked(_: Page, __: str) -> Turn:
    """Return the turn that asks for product, dose and time."""
    body = (Line("say", OWN), *lines("caution", (NOT_DRINK, LOCAL)))
    return asking("What was disinfected, and how?", "dose", "Product, dose, time", body)


def dose_taken(page: Page, _: str, text: str) -> Turn:
    """Return the question about the sample, after what was typed."""
    product, dose, time = fields(one_line(text), 3)
    if not (product and dose and time):
        raise UnfitLineError(f"Three things are wanted. {OWN}")
    number, unit = parts(dose, "Write a number and its unit, such as 99floz.")
    if not unit or not 0.0 < number < float("inf"):
        raise UnfitLineError(f"`{dose[:40]}` is no dose: a number and its unit, such as 99floz.")
    return sample(page, f"{product},{number:g} {unit},{_minutes(time):g}")


def sample(_: Page, given: str) -> Turn:
    """Return the question whether a sample was taken; the rest is ``given``."""
    product, dose, minutes = _given(given, 3)
    time = float(minutes)
    replies = (
        Reply("y", "yes", Disinfected(product, dose, time, sampled=True)),
        Reply("n", "no, it is to be taken", Disinfected(product, dose, time)),
        BACK,
    )
    heading = f"{product}, {dose}, {contact_said(time)}"
    body = lines("caution", (NOT_DRINK,))
    return Turn("sheet-list", heading, "Was a water sample taken?", body, replies)


def _given(text: str, wanted: int) -> Sequence[str]:
    """Return what was chosen before; raise ``ValueError`` where it is not that many."""
    found = text.rsplit(",", wanted - 1)
    if len(found) != wanted or not all(found):
        raise ValueError(text)
    return found


def _gallons(text: str) -> float:
    gallons = _number(text, "gal", "1200gal")
    possible(volume_gal=gallons)
    return gallons


def _minutes(text: str) -> float:
    minutes = _number(text, "min", "24h")
    if not 1.0 <= minutes <= LONGEST_MINUTES:
        raise UnfitLineError(f"`{text[:40]}` is no time of contact: a minute to seven days.")
    return minutes


def _number(text: str, wanted: str, example: str) -> float:
    """Return a number in the wanted unit, which is meant where none is written."""
    number, unit = parts(text, f"Write a number and its unit, such as {example}.")
    return converted(number, unit or wanted, wanted)
