"""The state of the site while planning: set-ups that are on, and people who were called."""

from functools import cached_property

import msgspec

from faultnet.model.check import Work
from faultnet.model.knowledge import Knowledge
from faultnet.model.repair import Repair

State = frozenset[str]
"""Set-ups that are on, and ``called:`` entries for people who have come."""


class Transition(msgspec.Struct, frozen=True):
    """A set-up to make or undo before a step, with its minutes (undoing included)."""

    id: str
    title: str
    to: str
    minutes: float


class Price(msgspec.Struct, frozen=True, dict=True):
    """What a piece of work costs from a state: minutes in all, and the state after it."""

    minutes: float
    transitions: tuple[Transition, ...]
    after: State


class Prices:
    """Prices of checks and repairs, set-ups shared.

    A set-up is paid for, undoing included, when it is made. Waiting is charged by the
    share that ``rates.yaml`` gives. Whoever must be called is paid for once.
    """

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self._kept: dict[tuple[int, State, float], Price] = {}

    @cached_property
    def share(self) -> float:
        """What a minute of waiting costs in minutes of work."""
        return self.knowledge.rates.waiting_share.value

    def work(self, work: Work, state: State, extra: float = 0.0) -> Price:
        """Return the price of work from a state; ``extra`` minutes come on top."""
        key = (id(work), state, extra)
        price = self._kept.get(key)
        if price is None:
            price = self._kept[key] = self._work(work, state, extra)
        return price

    def repair(self, repair: Repair, state: State) -> Price:
        """Return the price of a repair, proof and disinfection included."""
        disinfection = self.knowledge.rates.disinfection.get(repair.disinfect)
        extra = repair.proof_minutes.value + (disinfection.value if disinfection else 0.0)
        return self.work(repair.work, state, extra)

    def bare(self, repair: Repair) -> float:
        """Return the minutes of a repair with every set-up and caller left out."""
        return self.repair(repair, self._all_made).minutes

    def bare_work(self, work: Work) -> float:
        """Return the minutes of work with every set-up and caller left out."""
        return self.work(work, self._all_made).minutes

    @cached_property
    def _all_made(self) -> State:
        return frozenset(self.knowledge.set_ups) | _CALLED

    def _work(self, work: Work, state: State, extra: float) -> Price:
        minutes = work.minutes.value + work.waiting.value * self.share + extra
        transitions: list[Transition] = []
        wanted = demanded(work)
        for set_up, on in wanted.items():
            state = self._undo(set_up, state, transitions) if not on else state
        for set_up, on in wanted.items():
            state = self._make(set_up, state, transitions) if on else state
        state = self._call(work.who, state, transitions)
        return Price(minutes + sum(t.minutes for t in transitions), tuple(transitions), state)

    def _make(self, set_up: str, state: State, transitions: list[Transition]) -> State:
        entry = self.knowledge.set_ups.get(set_up)
        if entry is None or set_up in state:
            return state
        for needed in entry.requires:
            state = self._make(needed, state, transitions)
        cost = entry.make.value + entry.undo.value
        transitions.append(Transition(set_up, entry.title, "on", cost))
        return state | {set_up}

    def _undo(self, set_up: str, state: State, transitions: list[Transition]) -> State:
        if set_up not in state:
            return state
        for other in sorted(state):
            entry = self.knowledge.set_ups.get(other)
            if entry is not None and set_up in entry.requires:
                state = self._undo(other, state, transitions)
        title = self.knowledge.set_ups[set_up].title
        transitions.append(Transition(set_up, title, "off", 0.0))
        return state - {set_up}

    def _call(self, who: str, state: State, transitions: list[Transition]) -> State:
        call = self.knowledge.rates.calls.get(who)
        entry = f"called:{who}"
        if call is None or entry in state:
            return state
        transitions.append(Transition(entry, f"Call: {who}", "on", call.minutes.value))
        return state | {entry}


_CALLED = frozenset({"called:qualified", "called:specialist"})


def demanded(work: Work) -> dict[str, bool]:
    """Return the set-ups that work wants made (true) or not made (false)."""
    wanted = dict(work.set_ups)
    if work.power == "on":
        wanted.setdefault("power-locked-out", False)
    elif work.power == "locked-out":
        wanted.setdefault("power-locked-out", True)
    return wanted
