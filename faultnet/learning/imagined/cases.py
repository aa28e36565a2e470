"""Imagined closed cases by their numbers, and as a source that makes its cases as it is read.

Case k of a seed is the same whatever cases are made beside it, and by however many workers.
"""

from collections.abc import Iterator
from datetime import timedelta
from functools import cache

import msgspec
import numpy as np

from faultnet.advice.imagined import imagine
from faultnet.learning.altered.truth import Truth
from faultnet.learning.closed import ClosedCase
from faultnet.learning.imagined.dates import opened, written
from faultnet.learning.imagined.habits import Habits
from faultnet.learning.imagined.hunch import Hunch
from faultnet.learning.imagined.visit import Visit
from faultnet.learning.source import Batch
from faultnet.learning.trials.dice import Dice
from faultnet.learning.trials.site import DrawnSite

MARK = "invented"
"""How the id of every imagined case begins."""
USUAL = Habits()


class Region(msgspec.Struct, frozen=True):
    """A part of the country, its share of all cases, and what is so there."""

    name: str
    share: float
    truth: Truth


class Recipe(msgspec.Struct, frozen=True):
    """What imagined cases are made of: where, what is so there, how people go about it."""

    regions: tuple[Region, ...]
    habits: Habits = USUAL
    seed: int = 0


def recipe(truth: Truth, habits: Habits = USUAL, seed: int = 0) -> Recipe:
    """Return a recipe with the same truth in two invented valleys."""
    regions = (
        Region("invented: Orquay Valley", 0.7, truth),
        Region("invented: Sarn Fell", 0.3, truth),
    )
    return Recipe(regions, habits, seed)


def imagined_case(of: Recipe, number: int) -> ClosedCase:
    """Return one case by its number; raise as ``advice.imagined.imagine``."""
    rng = np.random.default_rng(np.random.SeedSequence(of.seed, spawn_key=(number, 1)))
    shares = np.array([region.share for region in of.regions])
    region = of.regions[int(rng.choice(len(shares), p=shares / shares.sum()))]
    truth, hunch = region.truth.so(), _hunch(region.truth)
    call = imagine(truth, of.seed, number, of.habits.manner)
    site = DrawnSite(truth, call.world, call.complaints, Dice(of.seed, number))
    visit = Visit(hunch, site, call.evidence, of.habits, rng)
    visit.go()
    held = {name: site.state(name) == "yes" for name in truth.system.circumstances}
    priors = {name: number.value for name, number in truth.system.circumstances.items()}
    came = opened(of.habits, priors, held, rng)
    minutes = sum(step.minutes or 0.0 for step in visit.steps) + 90.0 * visit.trips + 10.0
    return ClosedCase(
        id=f"{MARK}-{of.seed}-{number:07d}",
        system=truth.system.id,
        opened=written(came),
        closed=written(came + timedelta(minutes=minutes)),
        ending=visit.ending,
        evidence=visit.evidence(),
        confirmed=tuple(visit.confirmed),
        steps=tuple(visit.steps),
        trips=visit.trips,
        parts=tuple(visit.parts),
        unknown=tuple(visit.unknown),
        knowledge=hunch.subject.knowledge.version,
        region=region.name,
    )


def imagined_cases(of: Recipe, first: int, beyond: int) -> Iterator[ClosedCase]:
    """Yield the cases from one number to below another; one at a time is in memory."""
    return (imagined_case(of, number) for number in range(first, beyond))


class ImaginedPart(msgspec.Struct, frozen=True):
    """Some imagined cases, made when they are read."""

    of: Recipe
    first: int
    beyond: int

    def read(self) -> Batch:
        """Return the cases."""
        return Batch(tuple(imagined_cases(self.of, self.first, self.beyond)))


class ImaginedCases(msgspec.Struct, frozen=True):
    """So many imagined cases from a number on, in parts of a fixed size."""

    of: Recipe
    count: int
    first: int = 0
    in_part: int = 500

    def parts(self) -> tuple[ImaginedPart, ...]:
        """Return the parts."""
        end = self.first + self.count
        starts = range(self.first, end, self.in_part)
        return tuple(ImaginedPart(self.of, k, min(k + self.in_part, end)) for k in starts)


@cache
def _hunch(truth: Truth) -> Hunch:
    return Hunch(truth.known())
