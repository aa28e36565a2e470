"""Somebody at an installation whose state is known: replies to every turn as it is there."""

from dataclasses import dataclass, field

from faultnet.cases import events as e
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit


@dataclass
class Owner:
    """What is so before and after the true fault is mended; all else is normal.

    ``layout`` and ``signs`` map an id to its answer, ``fault`` is the cause, ``repair`` mends it.
    """

    fault: str
    repair: str
    layout: dict[str, str]
    signs: dict[str, str]
    complaint: str
    told: list[str] = field(default_factory=list)

    def play(self, visit: Visit, *, most: int = 120) -> Visit:
        """Return the visit at its end, or raise ``AssertionError`` where it has none."""
        for _ in range(most):
            if visit.over:
                return visit
            visit = visit.after(self._event(visit))
        raise AssertionError(f"no end: {visit.turn}")

    def _event(self, visit: Visit) -> e.AnyEvent:
        turn = visit.turn
        self.told.append(f"{turn.kind}: {turn.title}")
        known = {"seen": self._seen, "question": self._answer, "chain": self._answer}
        reply = known.get(turn.kind, self._go_on)
        event = reply(visit, turn)
        assert event is not None, f"nothing to reply to {turn.kind}: {turn.title}"
        return event

    def _seen(self, visit: Visit, turn: Turn) -> e.AnyEvent | None:
        told = visit.at.settled(self.complaint)
        return _by_key(turn, "") if told else e.Picked(self.complaint)

    def _answer(self, visit: Visit, turn: Turn) -> e.AnyEvent | None:
        told = [r.event for r in turn.replies if isinstance(r.event, e.Told)]
        if not told:
            return self._go_on(visit, turn)
        here = self._here(told[0].about, visit)
        return next((t for t in told if t.answer == here), None) or _by_key(turn, "?")

    def _here(self, about: str, visit: Visit) -> str:
        mended = any(self.repair in each.repairs for each in visit.at.evidence.rounds)
        signs = {} if mended else {**self.signs, f"found-{self.fault}": "yes"}
        return self.layout.get(about) or signs.get(about, "no")

    def _go_on(self, _visit: Visit, turn: Turn) -> e.AnyEvent | None:
        if turn.kind == "dangers":
            return _by_key(turn, "n")
        if turn.kind == "what-was-wrong":
            named = [r.event for r in turn.replies if isinstance(r.event, e.Confirmed)]
            return next((each for each in named if each.cause == self.fault), None)
        keys = ("s",) if turn.kind == "as-found" else ("d", "y", "")
        return next((event for key in keys if (event := _by_key(turn, key))), None)


def _by_key(turn: Turn, key: str) -> e.AnyEvent | None:
    reply = turn.reply(key)
    return reply.event if reply else None
