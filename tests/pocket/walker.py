"""Visits by random replies, in the pocket and at the office side by side."""

import json
import random
from dataclasses import dataclass, field

from msgspec import structs

from faultnet.cases.entry import Writer
from faultnet.cases.events import Opened
from faultnet.pocket.talk.answering import Talking
from faultnet.pocket.talk.shown import turn_shown
from faultnet.shapes.plain import Json, text
from faultnet.visit.glance import Glance, led_to, turn_at
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit
from faultnet.web.office import Office
from faultnet.web.pages.case import VISIT, keep

AUTHOR = "walker@0123456789ab"
WORDS = ("safe", "spits air", "", "K-4471", "bleach 6 %, 99floz, 24h", "2027-02-28", "a few words")
ASIDE = 0.25
"""How often any reply is given, whatever it leads to."""
ONWARD = {
    "dangers": "n",
    "step": "dy",
    "do": "dy",
    "set-up": "d",
    "question": "123yn",
    "walk": "mt",
}
"""Keys that go on with the work, by the kind of the turn."""
BY_ENTER = ("take-along", "step", "walk", "seen")
"""Turns that go on by Enter as well."""
ENDS = ("ways", "leave-safe", "sheet")
"""Turns that lead to the end."""


class Clock:
    """A clock that goes on by a second whenever it is looked at."""

    def __init__(self) -> None:
        self.now = 1_790_000_000.0

    def __call__(self) -> float:
        """Return seconds since 1970."""
        self.now += 1.0
        return self.now


class Asking:
    """Asks by JSON, as the page does."""

    def __init__(self, talking: Talking) -> None:
        self.talking = talking

    def __call__(self, name: str, /, **given: object) -> Json:
        """Return the answer."""
        answer: Json = json.loads(self.talking.answer(name, json.dumps(given)))
        return answer


@dataclass
class Walk:
    """One visit, held in both ways; ``told`` counts the turns that were the same."""

    office: Office
    talking: Talking
    system: str
    dice: random.Random
    told: int = 0
    glance: Glance = field(default_factory=Glance)
    entries: list[Json] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.ask = Asking(self.talking)
        self.writer = Writer(AUTHOR, Clock())
        version = self.office.knowledge.version
        self.case = self.office.begin(Opened(self.system, knowledge=version), self.writer)
        self.entries += self.ask("begin", author=AUTHOR, system=self.system)["entries"]

    def walk(self, most: int) -> bool:
        """Reply until the visit is over; after ``most`` replies it is led to its end."""
        for number in range(most + 40):
            visit, place = self._of_office()
            shown = self._shown()
            turn = turn_at(VISIT.seen(self.office, visit), self.glance)
            self._compare(visit, turn, shown)
            if shown["over"]:
                return True
            self._reply(visit, place, shown, ending=number >= most)
        return False

    def _of_office(self) -> tuple[Visit, int]:
        subject, log = self.office.kept(self.case)
        return VISIT.make(self.office, subject, log.entries, self.writer), log.place

    def _shown(self) -> Json:
        shown = self.ask("show", **self._given())
        assert "trouble" not in shown, shown
        if shown["note"]:
            self.entries.append(shown["note"])
        return shown

    def _given(self) -> Json:
        return {"author": AUTHOR, "entries": self.entries, **structs.asdict(self.glance)}

    def _compare(self, visit: Visit, turn: Turn, shown: Json) -> None:
        assert shown["turn"] == json.loads(text(turn_shown(turn)))
        assert shown["over"] == visit.over
        assert self.office_events() == self.pocket_events()
        self.told += 1

    def _reply(self, visit: Visit, place: int, shown: Json, *, ending: bool) -> None:
        said = self._chosen(shown, ending=ending)
        seen = VISIT.seen(self.office, visit)
        outcome = led_to(seen, self.glance, said.get("key"), said.get("typed", ""))
        led = self.ask("reply", **self._given(), last=shown["last"], **said)
        if isinstance(outcome, Glance):
            assert structs.asdict(outcome) == {f: led.get(f, "") for f in ("view", "what", "text")}
            self.glance = outcome
            return
        assert outcome is not None
        assert "entries" in led, led
        self.entries += led["entries"]
        self.glance = Glance()
        keep(self.office, visit, VISIT, outcome, place)

    def _chosen(self, shown: Json, *, ending: bool) -> Json:
        """Return a reply at random, or the one that leads to the end."""
        turn = shown["turn"]
        keys = self._ending(turn) if ending else self._going_on(turn)
        if turn["typed"] and (not keys or self.dice.random() < 0.7):
            return {"typed": self._typed(shown)}
        return {"key": self.dice.choice(keys)}

    def _going_on(self, turn: Json) -> list[str]:
        """Keys to draw from; what goes on with the work is drawn more often."""
        offered = [r["key"] for r in turn["replies"]]
        if self.dice.random() < ASIDE or not offered:
            return offered + [r["key"] for r in turn["bar"] if r["view"] != "stop"]
        liked = [key for key in ONWARD.get(turn["kind"], "") if key in offered]
        liked += [""] if turn["kind"] in BY_ENTER and "" in offered else []
        return liked or offered

    def _ending(self, turn: Json) -> list[str]:
        """Keys that lead to the end."""
        keys = [r["key"] for r in turn["replies"]]
        if turn["kind"] == "sheet":
            return [""]
        if turn["kind"] in {"paused", *ENDS} or not turn["bar"]:
            return keys[:1]
        return ["e"] if any(r["key"] == "e" for r in turn["bar"]) else keys

    def _typed(self, shown: Json) -> str:
        if shown["turn"]["typed"]["what"].startswith("safe:"):
            return self.dice.choice(("safe", "no"))
        if not shown["pad"]:
            return self.dice.choice(WORDS)
        return " ".join(self._number(p) for p in shown["pad"]["parts"] if p["needed"])

    def _number(self, part: Json) -> str:
        low, high = part["low"] or 0.0, part["high"] or 60.0
        value = round(self.dice.uniform(low, min(high, low + 60.0)), part["decimals"])
        return f"{part['before']}{value:g} {part['unit']}"

    def office_events(self) -> list[Json]:
        """What was kept at the office."""
        entries = self.office.kept(self.case)[1].entries
        return _placed(json.loads(text(entries)))

    def pocket_events(self) -> list[Json]:
        """What was kept in the pocket."""
        return _placed(self.entries)


def _placed(entries: list[Json]) -> list[Json]:
    """Events with the place of an entry for its id, which differs."""
    places = {entry["id"]: place for place, entry in enumerate(entries)}
    found = []
    for entry in entries:
        event = dict(entry["event"])
        if event["what"] == "undone":
            event["event"] = places[event["event"]]
        found.append(event)
    return found
