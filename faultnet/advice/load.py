"""What to load: the chance to end the trouble at the first visit, and what is worth its trouble.

The first visit ends the trouble when what is told as wrong is made by nothing but causes
whose repairs can be done with the people who come and with what is loaded. That is W of
those repairs (see ``works``): that a repair may fail, or a cause not be found, is left out.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

import msgspec

from faultnet.advice.observe import observe
from faultnet.advice.outfit import Outfitting, may_do, takes
from faultnet.advice.subject import Subject
from faultnet.advice.works import Asked, Works, told_wrong
from faultnet.inference.downsets import ALWAYS
from faultnet.model.repair import Repair
from faultnet.model.stock import Item

Load = frozenset[str]
"""Ids of items."""


class Added(msgspec.Struct, frozen=True):
    """Items worth taking along besides: what they gain in first-visit fix, at what trouble.

    ``fix`` is the chance with them and all that was added before; ``minutes`` the trouble.
    """

    items: tuple[str, ...]
    gain: float
    minutes: float
    fix: float


class Loading(msgspec.Struct, frozen=True):
    """The chance to end it at the first visit: with what is on the truck, and with more.

    ``begin`` is with the truck as it stands, ``most`` with all that could be loaded, and
    ``added`` best first; the last one's ``fix`` is the chance with the list.
    """

    begin: float
    added: tuple[Added, ...]
    most: float

    @property
    def fix(self) -> float:
        """The chance with all that was added."""
        return self.added[-1].fix if self.added else self.begin


class FirstVisit(msgspec.Struct, frozen=True, dict=True):
    """Weighs loads for people who come (``technician``, ``qualified`` ...)."""

    outfitting: Outfitting
    people: tuple[str, ...] = ("technician",)

    def first_visit_fix(self, load: Load) -> float:
        """Return the chance that the trouble is ended at the first visit with these items.

        Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
        """
        return self._fixes([self._doable(load)])[0]

    def ends(self, sets: Sequence[frozenset[str]]) -> list[float]:
        """Return the chance that each set of repairs alone ends the trouble; raise as above."""
        return self._fixes(sets)

    def best(self, on_truck: Load) -> Loading:
        """Return what is worth loading besides what is on the truck.

        Each time the items go along that gain most for a minute of trouble, one repair's
        worth together; it stops when what the best of them gain, in minutes of a second
        trip saved, is less than their trouble. Raises as ``first_visit_fix``.
        """
        within = frozenset(i.id for i in self._stock.values() if i.kept != "order") | on_truck
        begin, most = self._fixes([self._doable(on_truck), self._doable(within)])
        added: list[Added] = []
        load, fix = on_truck, begin
        while best := self._next(load, within, fix):
            added.append(best)
            load, fix = load | frozenset(best.items), best.fix
        return Loading(begin, tuple(added), most)

    def _next(self, load: Load, within: Load, fix: float) -> Added | None:
        bundles = self._bundles(load, within)
        fixes = self._fixes([self._doable(load | b) for b in bundles])
        found = [
            Added(tuple(sorted(b)), after - fix, self.trouble(b), after)
            for b, after in zip(bundles, fixes, strict=True)
            if (after - fix) * self.second_trip > self.trouble(b)
        ]
        rate = [(-each.gain / max(each.minutes, 1e-9), each.items) for each in found]
        return found[rate.index(min(rate))] if found else None

    @cached_property
    def second_trip(self) -> float:
        """Minutes that a second trip costs: its money at the price of an hour's work."""
        rates = self._subject.knowledge.rates
        return rates.second_trip.value / max(rates.labour_per_hour.value, 1e-9) * 60.0

    def missing(self, load: Load) -> dict[Load, list[str]]:
        """Return what is missing from a load for one repair or another, with those repairs."""
        bundles: dict[Load, list[str]] = {}
        for repair in self.outfitting.repairs:
            missing = self._missing(repair, load)
            if missing:
                bundles.setdefault(missing, []).append(repair.id)
        return bundles

    def _bundles(self, load: Load, within: Load) -> list[Load]:
        """What is missing of what can be loaded, as far as it could be worth it at all."""
        bundles = [bundle for bundle in self.missing(load) if bundle <= within]
        return [bundle for bundle in bundles if self._may_pay(bundle, load)]

    def _may_pay(self, bundle: Load, load: Load) -> bool:
        """Whether the chance that anything it lets one mend is present is worth its trouble."""
        more = self._doable(load | bundle) - self._doable(load)
        beliefs, subject = self.outfitting.beliefs, self._subject
        causes = {c for r in more for c in subject.mended_by[r]}
        most = sum(beliefs.causes[subject.network.causes[c].id] for c in causes)
        return most * self.second_trip > self.trouble(bundle)

    def _missing(self, repair: Repair, load: Load) -> Load | None:
        """The lightest items that are missing for a repair; None where it cannot be done."""
        if not may_do(self.people, repair.work):
            return None
        missing = set[str]()
        for name in takes(repair):
            offers = self._offers.get(name, ())
            if not offers:
                return None
            if not any(item in load for item in offers):
                missing.add(offers[0])
        return frozenset(missing)

    def _doable(self, load: Load) -> frozenset[str]:
        """The repairs that can be done with a load."""
        return frozenset(
            repair.id
            for repair in self.outfitting.repairs
            if self._missing(repair, load) == frozenset()
        )

    @cached_property
    def _offers(self) -> Mapping[str, tuple[str, ...]]:
        """The items that serve as a part or tool, the lightest first."""
        offers: dict[str, list[Item]] = {}
        for item in self._stock.values():
            for name in item.provides:
                offers.setdefault(name, []).append(item)
        return {
            name: tuple(i.id for i in sorted(items, key=lambda i: self.trouble([i.id])))
            for name, items in offers.items()
        }

    def trouble(self, items: Iterable[str]) -> float:
        """Return the minutes to load items, take them along and bring them back."""
        carrying = self._subject.knowledge.rates.carrying
        kinds = [self._stock[item].carried for item in items]
        return sum(carrying[kind].value for kind in kinds if kind in carrying)

    def _fixes(self, sets: Sequence[frozenset[str]]) -> list[float]:
        if not sets:
            return []
        ((_, works),) = self._works.of_each([Asked(ALWAYS, list(sets))])
        return list(works)

    @cached_property
    def _works(self) -> Works:
        subject, evidence = self._subject, self.outfitting.evidence
        observed = observe(subject, evidence)
        goal = told_wrong(subject, observed)
        return Works(subject, subject.network, observed, goal, tuple(subject.mended_by), ())

    @property
    def _subject(self) -> Subject:
        return self.outfitting.subject

    @property
    def _stock(self) -> dict[str, Item]:
        return self._subject.knowledge.stock


def usual_truck(subject: Subject) -> Load:
    """Return what is usually on a truck."""
    stock = subject.knowledge.stock.values()
    return frozenset(i.id for i in stock if i.kept == "truck" and i.usual.value > 0.0)
