"""What is wrong with a problem: every fault with its place, the reason and the mend."""

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import combinations
from math import isfinite
from typing import TypeGuard

from faultnet.planning.problem import Check, Problem, Repair, SetUp, World
from faultnet.planning.unfit import Misfit, UnfitProblemError

TOLERANCE = 1e-9
"""How far probabilities may be from summing to one."""
MOST_WORLDS = 1024
MOST_REPAIRS = 12
MOST_SET_UPS = 8
MOST_TOGETHER = 16
"""Faults that one repair may mend."""
FALL_BACK = "fall-back"


def require_fit(problem: Problem) -> None:
    """Raise ``UnfitProblemError`` with everything that is wrong, if anything is."""
    misfits = list(_Examination(problem).misfits())
    if misfits:
        raise UnfitProblemError(misfits)


class _Examination:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem

    def misfits(self) -> Iterator[Misfit]:
        shape = list(self._shape())
        yield from shape
        if shape:
            return
        yield from self._sizes()
        yield from self._ids()
        yield from self._worlds()
        yield from self._costs()
        for check in self.problem.checks:
            yield from self._answers(check)
            yield from self._demands("check", check)
        for repair in self.problem.repairs:
            yield from self._mends(repair)
            yield from self._demands("repair", repair)
        yield from self._ends()

    def _shape(self) -> Iterator[Misfit]:
        """What is of another type altogether, so that nothing else can be looked at."""
        for name, kind in (("checks", Check), ("repairs", Repair), ("set_ups", SetUp)):
            entries = getattr(self.problem, name)
            if not isinstance(entries, list | tuple):
                yield Misfit(name, "This is no list.", "Give a tuple of entries.")
                continue
            for n, entry in enumerate(entries):
                if not isinstance(entry, kind):
                    yield Misfit(f"{name}[{n}]", f"This is no {kind.__name__}.", "Give one.")
                else:
                    yield from _fields(f"{name}[{n}]", entry)
        worlds = self.problem.worlds
        if not isinstance(worlds, Mapping) or not all(map(_is_world, worlds)):
            mend = "Give a mapping of frozen sets of fault ids to their probability."
            yield Misfit("worlds", "These are no worlds.", mend)

    def _sizes(self) -> Iterator[Misfit]:
        sizes = (
            ("worlds", len(self.problem.worlds), MOST_WORLDS, "rare combinations of faults"),
            ("repairs", len(self.problem.repairs), MOST_REPAIRS, "the least likely"),
            ("set_ups", len(self.problem.set_ups), MOST_SET_UPS, "the cheapest"),
        )
        for place, size, most, which in sizes:
            if size > most:
                reason = f"There are {size}, and planning takes {most} at most."
                yield Misfit(place, reason, f"Leave out {which}.")
        for repair in self.problem.repairs:
            if len(repair.mends) > MOST_TOGETHER:
                reason = f"It mends {len(repair.mends)} faults, and {MOST_TOGETHER} are the most."
                yield Misfit(f"repair {repair.id}, mends", reason, "Leave out the least likely.")

    def _ids(self) -> Iterator[Misfit]:
        problem = self.problem
        steps = [*(c.id for c in problem.checks), *(r.id for r in problem.repairs)]
        for what, ids in (("step", steps), ("set-up", [s.id for s in problem.set_ups])):
            for name, times in Counter(ids).items():
                if times > 1:
                    reason = f"{times} of them have this id."
                    yield Misfit(f"{what} {name}", reason, "Give each an id of its own.")
        if FALL_BACK in steps:
            reason = "This id is kept for the fall-back."
            yield Misfit(f"step {FALL_BACK}", reason, "Choose another id.")

    def _worlds(self) -> Iterator[Misfit]:
        worlds = self.problem.worlds
        if not worlds:
            yield Misfit("worlds", "There is none.", "Give at least one, with probability 1.")
            return
        fit = True
        for world, chance in worlds.items():
            place = f"world {_named(world)}"
            if not world:
                fit = False
                reason = "It has no fault, and where nothing is wrong there is nothing to plan."
                yield Misfit(place, reason, "Leave it out and share out its probability.")
            for misfit in _chance(place, chance):
                fit = False
                yield misfit
        total = sum(worlds.values()) if fit else 1.0
        if abs(total - 1.0) > TOLERANCE:
            reason = f"The probabilities sum to {total:.9g}, not to 1."
            yield Misfit(
                "worlds", reason, f"Divide each by {total:.9g}." if total else "Raise them."
            )

    def _costs(self) -> Iterator[Misfit]:
        problem = self.problem
        for what, steps in (("check", problem.checks), ("repair", problem.repairs)):
            for step in steps:
                yield from _cost(f"{what} {step.id}, cost", step.cost)
        for set_up in problem.set_ups:
            yield from _cost(f"set-up {set_up.id}, make", set_up.make, free=True)
            yield from _cost(f"set-up {set_up.id}, undo", set_up.undo, free=True)
        if problem.fall_back is not None:
            yield from _cost("fall-back, cost", problem.fall_back)

    def _answers(self, check: Check) -> Iterator[Misfit]:
        place, worlds = f"check {check.id}, answers", tuple(self.problem.worlds)
        if len(check.answers) < 2:
            reason = f"There are {len(check.answers)}, and a check that tells something has two."
            yield Misfit(place, reason, "Name every answer, or leave the check out.")
        fit = True
        for answer, row in check.answers.items():
            where = f"{place}, {answer}"
            if len(row) != len(worlds):
                fit = False
                reason = f"It has {len(row)} probabilities for {len(worlds)} worlds."
                yield Misfit(where, reason, "Give one for each world, in their order.")
                continue
            for world, chance in zip(worlds, row, strict=True):
                for misfit in _chance(f"{where}, world {_named(world)}", chance):
                    fit = False
                    yield misfit
        for n, world in enumerate(worlds if fit and check.answers else ()):
            total = sum(row[n] for row in check.answers.values())
            if abs(total - 1.0) > TOLERANCE:
                reason = f"The answers' probabilities sum to {total:.9g}, not to 1."
                mend = "Some answer always comes: give each its share."
                yield Misfit(f"{place}, world {_named(world)}", reason, mend)

    def _mends(self, repair: Repair) -> Iterator[Misfit]:
        place = f"repair {repair.id}, mends"
        faults = {fault for world in self.problem.worlds for fault in world}
        if not repair.mends:
            yield Misfit(place, "It mends nothing.", "Name a fault, or leave the repair out.")
        fit = True
        for fault, chance in repair.mends.items():
            if fault not in faults:
                fit = False
                mend = f"Name one of: {', '.join(sorted(map(str, faults))) or 'none there'}."
                yield Misfit(f"{place}, {fault}", "No world has this fault.", mend)
            for misfit in _chance(f"{place}, {fault}", chance):
                fit = False
                yield misfit
        if fit and len(repair.mends) <= MOST_TOGETHER:
            yield from self._closed(repair)

    def _closed(self, repair: Repair) -> Iterator[Misfit]:
        """What a repair leaves must be a world, or no check could speak of it."""
        lost = set()
        for world in self.problem.worlds:
            hit = [fault for fault in world & repair.mends.keys() if repair.mends[fault] > 0.0]
            for number in range(1, len(hit) + 1):
                lost |= {world - set(mended) for mended in combinations(hit, number)}
        for world in sorted(lost - set(self.problem.worlds) - {frozenset()}, key=sorted):
            reason = f"It can leave {_named(world)}, which is not among the worlds."
            mend = "List that world, with probability 0 if it cannot be there at first."
            yield Misfit(f"repair {repair.id}, mends", reason, mend)

    def _demands(self, what: str, step: Check | Repair) -> Iterator[Misfit]:
        set_ups = {s.id for s in self.problem.set_ups}
        checks = {c.id for c in self.problem.checks}
        for field, named, known in (
            ("on", step.on, set_ups),
            ("off", step.off, set_ups),
            ("spoils", step.spoils, checks),
        ):
            for name in sorted(set(named) - known):
                kind = "check" if field == "spoils" else "set-up"
                mend = f"Name one of: {', '.join(sorted(known)) or 'none there'}."
                yield Misfit(f"{what} {step.id}, {field}, {name}", f"No {kind} has this id.", mend)
        for name in sorted(set(step.on) & set(step.off)):
            reason = "It is demanded on and off at once."
            yield Misfit(f"{what} {step.id}, on, {name}", reason, "Leave out one of the two.")

    def _ends(self) -> Iterator[Misfit]:
        if self.problem.fall_back is not None:
            return
        sure = {f for r in self.problem.repairs for f, chance in r.mends.items() if chance == 1.0}
        stuck = {fault for world in self.problem.worlds for fault in world} - sure
        for fault in sorted(stuck):
            reason = f"Nothing mends {fault} for certain, so the trouble may never end."
            mend = "Give a fall-back that always works, or a repair that mends it with certainty."
            yield Misfit("fall-back", reason, mend)


def _fields(place: str, entry: Check | Repair | SetUp) -> Iterator[Misfit]:
    """Fields that are not of the kind they should be, costs and chances left to others."""
    if not isinstance(entry.id, str) or not entry.id:
        yield Misfit(f"{place}, id", "This is no id.", "Give a word.")
    for field in ("on", "off", "spoils"):
        names = getattr(entry, field, ())
        if not isinstance(names, list | tuple) or not all(isinstance(n, str) for n in names):
            yield Misfit(f"{place}, {field}", "These are no ids.", "Give a tuple of words.")
    for field in ("answers", "mends"):
        mapping = getattr(entry, field, {})
        if not isinstance(mapping, Mapping) or not all(isinstance(k, str) for k in mapping):
            yield Misfit(f"{place}, {field}", "This is no mapping.", "Give words and numbers.")
        elif field == "answers":
            for answer, row in mapping.items():
                if not isinstance(row, list | tuple):
                    where = f"{place}, answers, {answer}"
                    yield Misfit(where, "This is no row.", "Give a probability for each world.")


def _cost(place: str, cost: object, *, free: bool = False) -> Iterator[Misfit]:
    mend = f"Give {'0 or ' if free else ''}a finite number above 0, in the unit of the others."
    if cost is None:
        yield Misfit(place, "The cost is missing.", mend)
    elif not _number(cost):
        yield Misfit(place, f"{cost!r} is no number.", mend)
    elif not isfinite(cost):
        yield Misfit(place, f"A cost of {cost} can be compared with nothing.", mend)
    elif cost < 0.0:
        yield Misfit(place, f"A cost of {cost} would be earned by working.", mend)
    elif cost == 0.0 and not free:
        reason = "A step that costs nothing would come first, however little it helps."
        yield Misfit(place, reason, mend)


def _chance(place: str, chance: object) -> Iterator[Misfit]:
    mend = "Give a number from 0 to 1."
    if chance is None:
        yield Misfit(place, "The probability is missing.", mend)
    elif not _number(chance):
        yield Misfit(place, f"{chance!r} is no number.", mend)
    elif not 0.0 <= chance <= 1.0:
        yield Misfit(place, f"{chance} is no probability.", mend)


def _number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_world(world: object) -> bool:
    return isinstance(world, frozenset) and all(isinstance(fault, str) for fault in world)


def _named(world: World) -> str:
    return "{" + ", ".join(sorted(world)) + "}"
