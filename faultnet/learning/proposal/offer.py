"""What is offered to the author: numbers that are accepted together, or left."""

from collections.abc import Collection, Iterable, Mapping
from typing import Literal

import msgspec

from faultnet.learning.proposal.held import Held, held_by
from faultnet.learning.proposal.rounding import rounded, shares, within_one
from faultnet.learning.proposed import Kind, Proposed
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number

Section = Literal["how-common", "minutes", "strengths"]
SECTIONS: dict[Section, str] = {
    "how-common": "How common",
    "minutes": "Minutes",
    "strengths": "Strengths",
}
"""What can be learnt, in the order in which a small firm can learn it."""
SECTION_OF: dict[Kind, Section] = {
    "how-common": "how-common",
    "layout": "how-common",
    "circumstance": "how-common",
    "factor": "how-common",
    "minutes": "minutes",
    "strength": "strengths",
    "leak": "strengths",
    "leads-to": "strengths",
}


class Written(msgspec.Struct, frozen=True):
    """A number as it stands and as it would stand; ``proposed`` is what speaks for that.

    Nothing is proposed for a share of a layout that only makes room for the others.
    """

    number: Number
    label: str
    value: float
    proposed: Proposed | None = None


class Offer(msgspec.Struct, frozen=True):
    """Numbers that are accepted together, or left.

    ``withheld`` says why they are told and not offered; ``notes`` what was done so that the
    file stays sound.
    """

    section: Section
    held: Held
    written: tuple[Written, ...]
    withheld: str = ""
    notes: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """What the author calls it by."""
        return self.held.id

    @property
    def of(self) -> str:
        """The entry that it belongs to."""
        return self.held.id.partition("/")[0]

    @property
    def clear(self) -> bool:
        """Whether a number in the file lies outside the range that the cases leave."""
        told = [each.proposed for each in self.written if each.proposed is not None]
        return any(not p.interval.low <= p.number.value <= p.interval.high for p in told)


class Offers(msgspec.Struct, frozen=True):
    """What is offered, what is only told, and how many numbers stay as they are."""

    offered: tuple[Offer, ...]
    withheld: tuple[Offer, ...]
    same: int
    homeless: tuple[Proposed, ...] = ()


def offers_of(
    knowledge: Knowledge, system: str, proposed: Iterable[Proposed], what: Collection[Section] = ()
) -> Offers:
    """Return what is offered of proposed numbers; those that hold nothing new are counted.

    ``what`` limits them to sections. ``homeless`` are numbers that stand in no file.
    """
    held = held_by(knowledge, knowledge.systems[system])
    together: dict[str, tuple[Held, dict[Number, Proposed]]] = {}
    homeless = []
    for each in proposed:
        if what and SECTION_OF[each.kind] not in what:
            continue
        home = held.get(each.number)
        if home is None:
            homeless.append(each)
        else:
            together.setdefault(home.id, (home, {}))[1][each.number] = each
    found = [_offer(home, by_number) for home, by_number in together.values()]
    new = [each for each in found if _says_something(each)]
    return Offers(
        tuple(each for each in new if not each.withheld),
        tuple(each for each in new if each.withheld),
        len(found) - len(new),
        tuple(homeless),
    )


def _offer(held: Held, proposed: Mapping[Number, Proposed]) -> Offer:
    section = SECTION_OF[next(iter(proposed.values())).kind]
    values = [_value(number, proposed.get(number)) for number in held.numbers]
    notes: tuple[str, ...] = ()
    if held.sum == "one":
        values = list(shares(_made_room(held, values, proposed)))
    elif held.sum == "at-most-one":
        kept = within_one(values)
        if list(kept) != values:
            notes = ("Made smaller together: the answers come to 1 at most.",)
        values = list(kept)
    written = tuple(
        Written(number, label, value, proposed.get(number))
        for number, label, value in zip(held.numbers, held.labels, values, strict=True)
    )
    if held.beside:
        notes = (*notes, f"Written into {held.beside[0]}; other systems keep their number.")
    return Offer(section, held, written, held.guard, notes)


def _value(number: Number, proposed: Proposed | None) -> float:
    if proposed is None:
        return number.value
    chance = proposed.kind not in {"minutes", "factor"}
    return rounded(proposed.value, proposed.interval, chance=chance)


def _made_room(held: Held, values: list[float], proposed: Mapping[Number, Proposed]) -> list[float]:
    """Shares of which those that nothing is proposed for take what the others leave."""
    told = sum(v for n, v in zip(held.numbers, values, strict=True) if n in proposed)
    rest = sum(n.value for n in held.numbers if n not in proposed)
    room = max(1.0 - told, 0.0) / rest if rest else 1.0
    pairs = zip(held.numbers, values, strict=True)
    return [value if number in proposed else number.value * room for number, value in pairs]


def _says_something(offer: Offer) -> bool:
    """Whether a number would be read as another one than before."""
    return any(f"{w.value:.3g}" != f"{w.number.value:.3g}" for w in offer.written)
