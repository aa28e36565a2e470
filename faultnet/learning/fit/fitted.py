"""A source whose cases can all be used: the others are set aside, each with its reason."""

from collections.abc import Iterable, Sequence

import msgspec
from msgspec.structs import replace

from faultnet.learning.fit.doubles import Double, Marks, doubles_of, marks_of
from faultnet.learning.fit.fit import Fit, places_of
from faultnet.learning.source import Batch, Part, SetAside, Source
from faultnet.sharing.sharing import Sharing


class FittedPart(msgspec.Struct, frozen=True):
    """A part with what its cases are held against, and those of them that were read before.

    ``before`` holds the number (from 0, among those that fit) of each, with its code and reason.
    With ``weighed`` the network is asked whether the answers of a case can be so together.
    """

    part: Part
    fit: Fit
    before: tuple[tuple[int, str, str], ...] = ()
    weighed: bool = True

    def read(self) -> Batch:
        """Return the cases that can be used."""
        found = _without(self.fit.batch(self.part.read()), self.before)
        return self.fit.possible(found) if self.weighed else found


class Fitted(msgspec.Struct, frozen=True):
    """The parts of a source, fitted; a source again."""

    fitted: tuple[FittedPart, ...]

    def parts(self) -> tuple[FittedPart, ...]:
        """Return the parts in their order."""
        return self.fitted


def fitted(source: Source, fit: Fit, sharing: Sharing, *, weighed: bool = True) -> Fitted:
    """Return a source as far as it can be used; it is read once to find what stands twice.

    The same whoever reads: what stays of two depends on the order of the parts. Raises what
    the source raises.
    """
    parts = source.parts()
    bare = [FittedPart(part, fit, weighed=False) for part in parts]
    before = _before(bare, list(doubles_of(list(sharing.each(_marks, bare)))), sharing)
    return Fitted(
        tuple(
            FittedPart(part, fit, tuple(before.get(number, ())), weighed)
            for number, part in enumerate(parts)
        )
    )


def _before(
    parts: Sequence[FittedPart], doubles: Sequence[Double], sharing: Sharing
) -> dict[int, list[tuple[int, str, str]]]:
    """Return by part what of it was read before; those read first are looked up by name."""
    wanted: dict[int, dict[int, str]] = {}
    for each in doubles:
        wanted.setdefault(each.first_part, {})[each.first_number] = ""
    asked = [(parts[part], tuple(numbers)) for part, numbers in sorted(wanted.items())]
    for part, names in zip(sorted(wanted), sharing.each(_named, asked), strict=True):
        wanted[part] = dict(zip(wanted[part], names, strict=True))
    found: dict[int, list[tuple[int, str, str]]] = {}
    for each in doubles:
        what = "its id was" if each.code == "same-id" else "the same case was"
        reason = f"{what} read before: {wanted[each.first_part][each.first_number]}"
        found.setdefault(each.part, []).append((each.number, each.code, reason))
    return found


def _marks(part: FittedPart) -> Marks:
    return marks_of(part.read().cases)


def _named(asked: tuple[FittedPart, Iterable[int]]) -> list[str]:
    part, numbers = asked
    read = part.read()
    places = places_of(read)
    return [f"{read.cases[number].id} ({places[number]})" for number in numbers]


def _without(read: Batch, before: tuple[tuple[int, str, str], ...]) -> Batch:
    if not before:
        return read
    places = places_of(read)
    told = {number: (code, reason) for number, code, reason in before}
    aside = [SetAside(places[n], *told[n], read.cases[n].id) for n in sorted(told)]
    kept = [number for number in range(len(read.cases)) if number not in told]
    return replace(
        read,
        cases=tuple(read.cases[number] for number in kept),
        set_aside=(*read.set_aside, *aside),
        places=tuple(places[number] for number in kept),
    )
