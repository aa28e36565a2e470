"""A network as a file tells it, before anything is checked; and the check."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from math import prod
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from faultnet.network.flaw import Flaw, NetworkFileError
from faultnet.network.tables import Tables, Variable

Array = npt.NDArray[np.float64]

ROUNDED = 0.01
"""How far a row may be from one: published tables are rounded; it is divided by its sum."""
CELL_LIMIT = 2**25
"""Cells of all tables together; 2**25 doubles are 256 MiB."""
MOST = 100
"""Things that are told of one file."""


@dataclass(frozen=True)
class Declared:
    """A variable with its states, and the line it stands on."""

    id: str
    states: tuple[str, ...]
    line: int


@dataclass(frozen=True)
class Row:
    """The chances of a variable where its parents are in the states named."""

    when: tuple[str, ...]
    chances: Sequence[float]
    line: int


@dataclass(frozen=True)
class Drafted:
    """The table of a variable: all ``numbers`` in one, or ``rows`` with states named.

    Numbers stand with the last parent's state moving before the others', and the state
    of the variable itself moving fastest, or slowest where ``own_first``. ``otherwise``
    is the row wherever none is named.
    """

    id: str
    parents: tuple[str, ...]
    line: int
    numbers: Sequence[float] = ()
    rows: Sequence[Row] = ()
    otherwise: Sequence[float] = ()
    own_first: bool = False


@dataclass
class Draft:
    """What a file tells: its name, variables and tables, in the order of the file."""

    file: str
    name: str = ""
    variables: list[Declared] = field(default_factory=list)
    tables: list[Drafted] = field(default_factory=list)

    def finished(self) -> Tables:
        """Return the network; raise ``NetworkFileError`` with everything that is wrong."""
        return _Check(self).tables()


T = TypeVar("T", Declared, Drafted)


class _Check:
    """Collects what is wrong, and makes the tables of what is right."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.flaws: list[Flaw] = []
        self.at = {each.id: each for each in draft.variables}

    def tables(self) -> Tables:
        if not self.at:
            self._tell("nothing", 0, "No variable stands in the file.", "Is it the right file?")
        for each in self._once(self.draft.variables, "variable"):
            self._states(each)
        known = {
            each.id: each
            for each in self._once(self.draft.tables, "table of")
            if self._family(each)
        }
        named = {each.id for each in self.draft.tables}
        for each in self.draft.variables:
            if each.id not in named:
                self._tell(
                    "missing", each.line, "It has no table.", "Is the file cut off?", each.id
                )
        self._refuse()
        order = self._order(known)
        self._sizes(known)
        made = [self._variable(known[each]) for each in order]
        self._refuse()
        return Tables(self.draft.name or "unnamed", tuple(v for v in made if v is not None))

    def _once(self, entries: Iterable[T], what: str) -> list[T]:
        """Return entries by id, each once; tell those that stand twice."""
        kept: dict[str, T] = {}
        for each in entries:
            if each.id in kept:
                message = f"The {what} {each.id} stands twice, first on line {kept[each.id].line}."
                self._tell("twice", each.line, message, "Leave one out.", each.id)
            else:
                kept[each.id] = each
        return list(kept.values())

    def _states(self, each: Declared) -> None:
        if not each.states:
            self._tell("missing", each.line, "It has no states.", "Name its states.", each.id)
        for state in _repeated(each.states):
            message = f"The state {state} is named twice."
            self._tell("twice", each.line, message, "Give each state its own name.", each.id)

    def _family(self, each: Drafted) -> bool:
        """Whether a table is that of a known variable with known parents."""
        strange = [v for v in (each.id, *each.parents) if v not in self.at]
        for name in strange:
            hint = "Declare it, or correct the name."
            self._tell("unknown", each.line, f"There is no variable {name}.", hint, each.id)
        for name in _repeated(each.parents):
            self._tell("twice", each.line, f"The parent {name} is named twice.", "", each.id)
        return not strange

    def _order(self, known: Mapping[str, Drafted]) -> list[str]:
        """Return the variables, parents first; raise where they depend on themselves."""
        sorter = TopologicalSorter({v: known[v].parents for v in self.at})
        try:
            return list(sorter.static_order())
        except CycleError as error:
            circle = " -> ".join(error.args[1][:10])
            line = known[error.args[1][0]].line
            hint = "Take one of these arrows away: nothing may come of itself."
            self._tell("cycle", line, f"The variables go round in a circle: {circle}.", hint)
            raise NetworkFileError(self.flaws) from None

    def _sizes(self, known: Mapping[str, Drafted]) -> None:
        total = sum(prod(self._shape(each)) for each in known.values())
        if total > CELL_LIMIT:
            message = f"The tables have {total:,} cells together and the limit is {CELL_LIMIT:,}."
            self._tell("too-large", 0, message, "Divide variables with many parents.")
            self._refuse()

    def _shape(self, each: Drafted) -> list[int]:
        return [len(self.at[v].states) for v in (*each.parents, each.id)]

    def _variable(self, each: Drafted) -> Variable | None:
        """Return a variable with its table; None where that is wrong, which is told."""
        shape = self._shape(each)
        if each.rows or each.otherwise:
            chances = self._from_rows(each, shape)
        else:
            chances = self._from_numbers(each, shape)
        if chances is None or not self._sound(each, chances):
            return None
        shares = chances / chances.sum(axis=-1, keepdims=True)
        return Variable(each.id, self.at[each.id].states, each.parents, shares)

    def _from_numbers(self, each: Drafted, shape: list[int]) -> Array | None:
        if len(each.numbers) != prod(shape):
            message = f"The table has {len(each.numbers)} numbers and needs {prod(shape)}."
            hint = "Is the file cut off, or a state missing?"
            self._tell("size", each.line, message, hint, each.id)
            return None
        numbers = np.array(each.numbers, dtype=float)
        if each.own_first:
            return np.moveaxis(numbers.reshape(shape[-1:] + shape[:-1]), 0, -1)
        return numbers.reshape(shape)

    def _from_rows(self, each: Drafted, shape: list[int]) -> Array | None:
        count = len(self.flaws)
        chances = np.zeros(shape)
        given = np.zeros(shape[:-1], dtype=bool)
        if each.otherwise and self._fits(each, each.otherwise, each.line, shape):
            chances[...] = each.otherwise
            given[...] = True
        places = [{s: k for k, s in enumerate(self.at[p].states)} for p in each.parents]
        seen: dict[tuple[int, ...], int] = {}
        for row in each.rows:
            place = self._place(each, row, places)
            if place is None or not self._fits(each, row.chances, row.line, shape):
                continue
            if place in seen:
                message = (
                    f"The row ({', '.join(row.when)}) stands twice, on line {seen[place]} too."
                )
                self._tell("twice", row.line, message, "Leave one out.", each.id)
            seen[place] = row.line
            chances[place] = row.chances
            given[place] = True
        if len(self.flaws) == count and not given.all():
            left = np.argwhere(~given)
            message = f"Rows are missing: {len(left)}, the first ({self._named(each, left[0])})."
            self._tell("missing", each.line, message, "Give a row to every case.", each.id)
        return chances if len(self.flaws) == count else None

    def _place(
        self, each: Drafted, row: Row, places: Sequence[Mapping[str, int]]
    ) -> tuple[int, ...] | None:
        if len(row.when) != len(places):
            message = f"The row names {len(row.when)} states and there are {len(places)} parents."
            self._tell("size", row.line, message, "Name one state of each.", each.id)
            return None
        for parent, state, known in zip(each.parents, row.when, places, strict=True):
            if state not in known:
                hint = f"It has {', '.join(list(known)[:12])}."
                message = f"{parent} has no state {state}."
                self._tell("unknown", row.line, message, hint, each.id)
                return None
        return tuple(known[s] for s, known in zip(row.when, places, strict=True))

    def _fits(self, each: Drafted, chances: Sequence[float], line: int, shape: list[int]) -> bool:
        if len(chances) == shape[-1]:
            return True
        message = f"The row has {len(chances)} numbers and needs {shape[-1]}."
        self._tell("size", line, message, "One number per state.", each.id)
        return False

    def _sound(self, each: Drafted, chances: Array) -> bool:
        """Whether all chances are zero or more and each row sums to one, but for rounding."""
        bad = ~(np.isfinite(chances) & (chances >= 0.0)).all(axis=-1)
        hint = "A chance lies from 0 to 1."
        message = "The chances are not all numbers from zero up"
        if not bad.any():
            bad = abs(chances.sum(axis=-1) - 1.0) > ROUNDED
            hint = "The chances of the states must sum to one."
            message = "A row does not sum to one"
        if not bad.any():
            return True
        first = np.argwhere(bad)[0]
        row = ", ".join(f"{x:.6g}" for x in chances[tuple(first)][:8])
        line = next((r.line for r in each.rows if ", ".join(r.when) == self._named(each, first)), 0)
        where = f" where {self._named(each, first)}" if len(first) else ""
        self._tell("chances", line or each.line, f"{message}{where}: {row}.", hint, each.id)
        return False

    def _named(self, each: Drafted, place: Iterable[int]) -> str:
        pairs = zip(each.parents, place, strict=False)
        return ", ".join(self.at[p].states[int(k)] for p, k in pairs)

    def _tell(self, code: str, line: int, message: str, hint: str, entity: str = "") -> None:
        self.flaws.append(Flaw(code, self.draft.file, line, message, hint, entity))
        if len(self.flaws) >= MOST:
            self._refuse()

    def _refuse(self) -> None:
        if self.flaws:
            raise NetworkFileError(sorted(self.flaws, key=lambda flaw: flaw.line))


def _repeated(names: Iterable[str]) -> list[str]:
    return sorted(name for name, count in Counter(names).items() if count > 1)
