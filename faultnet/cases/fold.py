"""From the entries of a case to where it stands; the same in whatever order they arrived."""

from collections.abc import Callable, Iterable
from functools import singledispatchmethod
from typing import TypeVar

from faultnet.cases import events as e
from faultnet.cases.apart import apart
from faultnet.cases.case import Case, Conflict, Counted, Sitting, Voice
from faultnet.cases.claims import Claim, Claims
from faultnet.cases.counting import counting
from faultnet.cases.entry import Entry
from faultnet.cases.fits import Known, alike, amounts_to, fits, found_finding
from faultnet.cases.order import Order, order_of
from faultnet.cases.renaming import renamed_entries
from faultnet.cases.rounds import Rounds
from faultnet.cases.standing import standing_of
from faultnet.model.evidence import Evidence, Taken

T = TypeVar("T")

CALLED = "called:"
"""How the state of somebody being there begins, among the set-ups."""

SUREST_FIRST = ("technician", "caller")


def fold(known: Known, entries: Iterable[Entry]) -> Case:
    """Return where a case stands after its entries, read with the names of today."""
    order = order_of(renamed_entries(known.knowledge, entries))
    folding = _Folding(known, order)
    counted = counting(order)
    for place in counted:
        folding.take(place)
    standing = standing_of(order)
    return Case(
        id=order.entries[0].log if order.entries else "",
        system=standing.system,
        site=standing.site,
        follows=standing.follows,
        knowledge=standing.knowledge,
        evidence=folding.evidence(),
        conflicts=folding.conflicts(),
        apart=apart(order),
        entries=tuple(folding.counted),
        sittings=folding.sittings,
        settings=folding.settings,
        begun=standing.begun,
        touched=standing.touched,
        last=standing.last,
        ended=standing.ended,
        unfit=len(counted) - len(folding.counted),
        missing=len(order.missing),
    )


class _Folding:
    """A case on its way through its entries."""

    def __init__(self, known: Known, order: Order) -> None:
        self._known, self._order = known, order
        self._rounds = Rounds(known, order.saw)
        self._layout: Claims[str] = Claims(order.saw)
        self._circumstances: Claims[str] = Claims(order.saw)
        self._set_ups: Claims[str] = Claims(order.saw)
        self.sittings: dict[str, Sitting] = {}
        self.settings: dict[str, str] = {}
        self.counted: list[Counted] = []

    def take(self, place: int) -> None:
        """Go on by one entry, unless it no longer fits the knowledge."""
        entry = self._order.entries[place]
        if fits(self._known, entry.event):
            self.counted.append(Counted(entry, len(self._rounds.all) - 1))
            self._take(entry.event, place)

    def evidence(self) -> Evidence:
        """Return what is known by now."""
        circumstances = self._circumstances.abouts()
        return Evidence(
            rounds=tuple(each.finished() for each in self._rounds.all),
            layout={about: _surest(self._layout, about) for about in self._layout.abouts()},
            circumstances={a: _surest(self._circumstances, a) == "yes" for a in circumstances},
            set_ups=tuple(name for name, _ in self._set_ups.latest()),
            made_safe=self._rounds.made_safe,
        )

    def conflicts(self) -> tuple[Conflict, ...]:
        """Return what was said differently by people who had not seen each other's."""
        found: list[Conflict] = []
        for claims in (self._layout, self._circumstances):
            found += self._differing(claims, None, self._unlike, str)
        for number, each in enumerate(self._rounds.all):
            found += self._differing(each.answers, number, self._unlike, str)
            found += self._differing(each.taken, number, lambda _, a, b: a != b, _numbers)
        return tuple(found)

    @singledispatchmethod
    def _take(self, event: e.Event, place: int) -> None:
        """Go on by one event; most say nothing about what is known."""

    @_take.register
    def _(self, event: e.Opened, place: int) -> None:
        self._sit(place, Sitting(event.who, event.speaker))
        self.settings |= event.settings
        for about, value in event.layout.items():
            told = e.Told(about, value)
            if fits(self._known, told):
                self._take(told, place)

    @_take.register
    def _(self, event: e.Joined, place: int) -> None:
        self._sit(place, Sitting(event.who, event.speaker))

    @_take.register
    def _(self, event: e.Told, place: int) -> None:
        claim = self._claim(place, event.answer, event.speaker)
        if event.about in self._known.system.layout:
            self._layout.add(event.about, claim, any_speaker=True)
        elif event.about in self._known.system.circumstances:
            self._circumstances.add(event.about, claim, any_speaker=True)
        else:
            self._rounds.now.answers.add(event.about, claim)

    @_take.register
    def _(self, event: e.AsFound, place: int) -> None:
        for told in amounts_to(self._known, event):
            self._take(told, place)

    @_take.register
    def _(self, event: e.Confirmed, place: int) -> None:
        found = found_finding(self._known, event.cause)
        if found:
            self._rounds.confirm(place, found, event.round, self._claim(place, "yes"))

    @_take.register
    def _(self, event: e.Denied, place: int) -> None:
        claim = self._claim(place, "no")
        # A caller who says none of a list has not looked for each: it counts for safety alone.
        if claim.speaker != "caller":
            self._rounds.deny(event.findings, claim)

    @_take.register
    def _(self, event: e.Measured, place: int) -> None:
        taken = Taken(event.reading, event.parts)
        self._rounds.now.taken.add(event.reading, self._claim(place, taken))

    @_take.register
    def _(self, event: e.MadeSafe, place: int) -> None:
        self._rounds.make_safe(place, event.finding)

    @_take.register
    def _(self, event: e.TakenBack, place: int) -> None:
        self._rounds.take_back(place, event.about, event.round)
        self._layout.drop(place, event.about)
        self._circumstances.drop(place, event.about)

    @_take.register
    def _(self, event: e.StepDone, _place: int) -> None:
        self._rounds.spoil(event.step)

    @_take.register
    def _(self, event: e.RepairDone, place: int) -> None:
        both = (event.instead_of, event.repair)
        known = tuple(r for r in both if r in self._known.knowledge.repairs)
        self._rounds.end(place, known, ())

    @_take.register
    def _(self, event: e.RoundBegun, place: int) -> None:
        self._rounds.end(place, (), event.redraws)

    @_take.register
    def _(self, event: e.ProcedureStepDone, place: int) -> None:
        step = self._known.knowledge.procedures[event.procedure].steps[event.number]
        for name, made in step.set_ups.items():
            self._set_ups.add(name, self._claim(place, "on")) if made else self._set_ups.drop(
                place, name
            )

    @_take.register
    def _(self, event: e.SetUpMade, place: int) -> None:
        for name in event.set_ups:
            if name in self._known.knowledge.set_ups or name.startswith(CALLED):
                self._set_ups.add(name, self._claim(place, "on"))

    @_take.register
    def _(self, event: e.SetUpUndone, place: int) -> None:
        for name in event.set_ups:
            self._set_ups.drop(place, name)

    def _sit(self, place: int, sitting: Sitting) -> None:
        """Note who is there; whoever was called in before is not counted on."""
        self.sittings[self._order.entries[place].author] = sitting
        for name in self._set_ups.abouts():
            if name.startswith(CALLED):
                self._set_ups.drop(place, name)
        if sitting.who != "technician":
            self._set_ups.add(f"{CALLED}{sitting.who}", self._claim(place, "on"))

    def _claim(self, place: int, value: T, speaker: str = "") -> Claim[T]:
        author = self._order.entries[place].author
        sitting = self.sittings.get(author) or Sitting()
        return Claim(place, value, author, speaker or sitting.speaker)

    def _differing(
        self,
        claims: Claims[T],
        number: int | None,
        unlike: Callable[[str, T, T], bool],
        words: Callable[[T], str],
    ) -> list[Conflict]:
        found = []
        for about in claims.abouts():
            unseen = claims.unseen(about)
            if any(unlike(about, a.value, b.value) for a in unseen for b in unseen):
                voices = tuple(self._voice(claim, words(claim.value)) for claim in unseen)
                found.append(Conflict(about, number, voices))
        return found

    def _unlike(self, about: str, first: str, second: str) -> bool:
        return not alike(self._known, about, first, second)

    def _voice(self, claim: Claim[T], value: str) -> Voice:
        entry = self._order.entries[claim.place]
        return Voice(claim.author, claim.speaker, value, entry.at, entry.id)


def _surest(claims: Claims[str], about: str) -> str:
    """Return the word of the surest speaker; among equals the last."""
    return min(reversed(claims.about(about)), key=lambda c: SUREST_FIRST.index(c.speaker)).value


def _numbers(taken: Taken) -> str:
    return ", ".join(f"{part} {value:g}" for part, value in sorted(taken.parts.items()))
