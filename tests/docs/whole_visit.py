"""An invented visit from start to end, played by keys; docs/a-whole-visit.md holds what it shows.

Run `python -m tests.docs.whole_visit` to write the page anew.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.cases import events as e
from faultnet.cases.entry import Writer
from faultnet.cli import dress
from faultnet.cli.screen import Screen
from faultnet.visit.said import said
from faultnet.visit.told import WHY_NOT
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit, visit_of
from tests.docs.pages import ROOT

PAGE = ROOT / "docs" / "a-whole-visit.md"
SCREEN = Screen(72, colour=False, drawing=True)
START = 1_773_000_000.0
"""Some morning in March 2026, in seconds since 1970."""

LAYOUT = {
    "switch": "low-pressure-cut-off",
    "check-valve": "foot",
    "source-level": "below-pump",
    "tank": "captive-air",
    "source": "cistern-hauled",
    "supply": "230",
    "relief-valve": "present",
    "switch-place": "at-tank",
}
VALVE = "clean-foot-valve"
"""The repair that is not done: the valve was seen to be sound as it was hung again."""

PARTED, SEAL = "check-valve-parted-from-pipe", "suction-filter-or-union-seal-draws-air"
SIGNS = (
    {
        "never-shuts-off": "yes",
        "gauge-falls-isolated": "yes",
        "stalls-below-cut-out": "yes",
        "prime-level-falls": "quickly",
        "water-blown-back-at-intake": "yes",
    },
    {
        "never-shuts-off": "?",
        "prime-level-falls": "slowly",
        "bubbles-at-port": "yes",
    },
    {},
)
"""What is there at first, after the first repair, and in the end; all else is not."""

ON_SHEET = (
    ("1", "1", "1"),
    ("2", "2", "1200gal", "1", "1", "n"),
    ("5", "1", "1"),
)
"""Keys that fill lines of the sheet: a part, the disinfection, what is due next."""

SEEN_AT_PORT = {
    "prime-level-falls": "level sinks after priming",
    "bubbles-at-port": "bubbles at the port",
}
"""What the priming that failed has shown, and the words it is told in."""

FAULTS = (PARTED, SEAL, "")
LOOKS = {"sound": "runs", "breaker": "on", "lever": "on"}
HOLDS = {0: ("36", "22 15"), 2: ("50", "49.5 15")}

WALKS: dict[int, tuple[str, ...]] = {0: (), 1: ("priming",), 2: ("priming", "restart")}
"""Procedures that are walked after a repair."""


class Clock:
    """A clock that goes on by twenty seconds each time it is asked."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> float:
        self.now += 20.0
        return self.now


@dataclass
class Told:
    """A turn as it stood on the screen, what was pressed or typed, and what was noted of it."""

    turn: Turn
    reply: str
    noted: str


@dataclass
class Story:
    """The visit on its way; ``told`` is what has happened on the screen."""

    subject: Subject
    told: list[Told] = field(default_factory=list)
    walked: list[tuple[int, str]] = field(default_factory=list)
    end: Visit | None = None
    lines: int = 0

    @cached_property
    def writer(self) -> Writer:
        """Who is at the pump."""
        return Writer("Bruno (invented)", Clock())

    def begin(self) -> Visit:
        """Return the visit after the call that came before it."""
        rosa = Writer("Rosa (invented)", self.writer.clock)
        called: tuple[e.AnyEvent, ...] = (
            e.Opened("jet-pump-cistern", "caller", "caller"),
            e.Denied(("tingle", "burnt-smell", "someone-in-cistern", "water-in-pump-space")),
            e.Told("never-shuts-off", "yes"),
            e.DangerMet("never-shuts-off", "yes"),
            e.MadeSafe("never-shuts-off"),
            e.Tried("switch-pump-on", outcome="nothing"),
            e.Note("Guests arrive at noon. The hatch is behind the wood pile."),
        )
        entries = (rosa.begin(called[0]),)
        for event in called[1:]:
            entries = (*entries, rosa.entry(entries[0].log, event, entries))
        joined = self.writer.entry(entries[0].log, e.Joined(), entries)
        return visit_of(self.subject, (*entries, joined), self.writer)

    def play(self) -> Visit:
        """Play the visit to its end."""
        visit = self.begin()
        for _ in range(300):
            if visit.over:
                return visit
            visit = self._reply(visit)
        raise AssertionError(f"no end: {visit.turn}")

    def _reply(self, visit: Visit) -> Visit:
        turn = visit.turn
        for step in self._keys(visit):
            outcome = self._pressed(visit, turn, step)
            noted = said(self.subject, outcome) if isinstance(outcome, e.Event) else ""
            self.told.append(Told(turn, step, noted))
            if isinstance(outcome, e.Event):
                return visit.after(outcome)
            turn = outcome
        raise AssertionError(f"nothing came of {turn}")

    def _pressed(self, visit: Visit, turn: Turn, step: str) -> e.AnyEvent | Turn:
        reply = turn.reply(step)
        if reply is not None:
            return reply.event if reply.event is not None else visit.view(reply.view)
        assert turn.typed is not None, (step, turn)
        return visit.typed(turn.typed.what, step)

    def _keys(self, visit: Visit) -> Iterator[str]:
        """What is pressed or typed at a turn, one after the other."""
        yield from _BY_KIND.get(visit.turn.kind, Story.go_on)(self, visit)

    def round_of(self, visit: Visit) -> int:
        """Which of the three states of the installation it is."""
        repairs = {r for each in visit.at.evidence.rounds for r in each.repairs}
        causes = self.subject.knowledge.causes
        return sum(causes[c].repair in repairs for c in (PARTED, SEAL))

    def go_on(self, visit: Visit) -> Iterator[str]:
        """Enter, or the key for done."""
        keys = [each.key for each in visit.turn.replies]
        yield next(key for key in ("d", "y", "") if key in keys)

    def answer(self, visit: Visit) -> Iterator[str]:
        """Answer a question as it is at this site."""
        events = [(r.key, r.event) for r in visit.turn.replies if isinstance(r.event, e.Told)]
        about = events[0][1].about
        now = self.round_of(visit)
        if about == "gauge-falls-isolated" and now in HOLDS:
            yield from self._hold(visit, f"readings:{about}", now)
            return
        here = self._here(about, now)
        yield next((key for key, told in events if told.answer == here), "?")

    def _here(self, about: str, now: int) -> str:
        finding = self.subject.knowledge.findings.get(about)
        if finding is None:
            return LAYOUT.get(about, "")
        if finding.found_cause:
            return "yes" if finding.found_cause == FAULTS[now] else "no"
        return SIGNS[now].get(about, "no")

    def look(self, visit: Visit) -> Iterator[str]:
        """Tell how it was found."""
        turn = visit.turn
        if turn.typed is not None:
            yield "36"
            return
        events = [(r.key, r.event) for r in turn.replies if isinstance(r.event, e.AsFound)]
        yield next(key for key, seen in events if seen.answer == LOOKS.get(seen.look))

    def put_back(self, visit: Visit) -> Iterator[str]:
        """Prime, and restart, before anything is tried, and go on when that is over."""
        now = self.round_of(visit)
        left = [p for p in WALKS[now] if (now, p) not in self.walked]
        if not left:
            yield "d"
            return
        self.walked.append((now, left[0]))
        how = visit.view("how")
        title = self.subject.knowledge.procedures[left[0]].title
        yield "h"
        yield _key(how, title)
        yield "w"

    def walk(self, visit: Visit) -> Iterator[str]:
        """Walk a procedure; the first priming comes to its stop condition."""
        step = self.subject.knowledge.procedures[visit.at.walk.procedure].steps[visit.at.walk.step]
        leaks = self.round_of(visit) == 1 and "level stays" in step.do
        if step.takes:
            yield "m"
            start, end = HOLDS[min(self.round_of(visit), 2)]
            yield start if "start" in next(iter(step.takes.values())) else end
        else:
            yield "x" if leaks else ""

    def step(self, visit: Visit) -> Iterator[str]:
        """Tell what the priming showed, else begin what is offered."""
        seen = [f for f in SEEN_AT_PORT if not visit.at.settled(f)]
        if self.round_of(visit) == 1 and seen:
            found = visit.typed("search", SEEN_AT_PORT[seen[0]])
            assert isinstance(found, Turn)
            title = self.subject.knowledge.findings[seen[0]].title
            yield from ("t", SEEN_AT_PORT[seen[0]], _key(found, title))
        elif self.round_of(visit) == 1 and visit.turn.title == self.title(VALVE):
            yield from ("s", _key(visit.view(f"not-now:{VALVE}"), WHY_NOT["not-that"]))
        else:
            yield from self.go_on(visit)

    def title(self, repair: str) -> str:
        """The title of a repair."""
        return self.subject.knowledge.repairs[repair].title

    def proof(self, visit: Visit) -> Iterator[str]:
        """Write the hold down, then say that it is proved."""
        if any(taken.reading == "hold" for taken in visit.at.now.taken):
            yield "y"
            return
        yield from self._hold(visit, "readings:", 2)

    def _hold(self, visit: Visit, view: str, now: int) -> Iterator[str]:
        """Type the hold test where readings are offered."""
        title = self.subject.knowledge.readings["hold"].title
        yield "m"
        yield _key(visit.view(view), title)
        yield " ".join(HOLDS[now])

    def sheet(self, _visit: Visit) -> Iterator[str]:
        """Fill the sheet, line by line, then go on."""
        self.lines += 1
        yield from ON_SHEET[self.lines - 1] if self.lines <= len(ON_SHEET) else ("",)

    def works(self, visit: Visit) -> Iterator[str]:
        """Whether it works as it should."""
        yield "y" if self.round_of(visit) == 2 else "n"

    def wrong(self, visit: Visit) -> Iterator[str]:
        """Name what had been wrong."""
        events = [(r.key, r.event) for r in visit.turn.replies if isinstance(r.event, e.Confirmed)]
        cause = FAULTS[self.round_of(visit) - 1]
        yield next((key for key, told in events if told.cause == cause), "?")


def _key(turn: Turn, label: str) -> str:
    """The key of a reply."""
    return next(each.key for each in turn.replies if each.label == label)


_BY_KIND = {
    "question": Story.answer,
    "chain": Story.answer,
    "as-found": Story.look,
    "put-back": Story.put_back,
    "walk": Story.walk,
    "works": Story.works,
    "what-was-wrong": Story.wrong,
    "step": Story.step,
    "sheet": Story.sheet,
    "proof": Story.proof,
    "dangers": lambda _story, _visit: iter("n"),
}
"""How each kind of turn is replied to; the others by going on."""


def story() -> Story:
    """Return the visit, played to its end."""
    told = Story(make_subject(load(shipped_folder()), "jet-pump-cistern"))
    told.end = told.play()
    return told


FIRST = {
    "handed-over": "The call came in the morning. Rosa at the desk asked for dangers and handed "
    "the case over. Bruno reads it in the van.",
    "dangers": "At the door of the cellar. The word of the phone is not enough: he looks himself.",
    "as-found": "The state as found, before anything is touched.",
    "seen": "Nothing more to tell: the complaint is known.",
    "take-along": "What to bring down in one go.",
    "step": "The first step. The house valve first, then the wait.",
    "do": "",
    "reading": "The numbers go in as they were read. A fall of 14 psi is far above what a gauge "
    "gets wrong.",
    "consent": "The valve hangs parted from its pipe: seen from the rim. The repair comes to more "
    "than the limit, so the customer is asked first.",
    "what-was-wrong": "Mended. What it was is one key, and counts as evidence of the time before.",
    "put-back": "Nothing is tried on a dry pump: the priming is walked first.",
    "stopped": "The level will not stand. The second, smaller leak shows: the priming stops here.",
    "not-now": "The valve was sound when it was hung: the reason is noted, and it stays put off.",
    "proof": "The second repair was the seal. Primed again, restarted through the low-pressure "
    "cut-off, every complaint is gone. The proof has numbers.",
    "chain": "One link back and one link forward.",
    "sheet": "What goes into the report beside the work.",
    "leave-safe": "And the site is left safe.",
}
"""What is told before the first screen of a kind."""

ALSO = ("Lift", "Restart after priming: step 2")
"""Beginnings of headings and titles of further screens that are shown."""


def page_of(played: Story) -> str:
    """Return the page: the screens that matter, and between them what was replied."""
    assert played.end is not None
    parts = [HEAD]
    seen: set[str] = set()
    between: list[str] = []
    for each in played.told:
        turn = each.turn
        if turn.kind in seen and not _also(turn):
            between.append(_line(each))
            continue
        parts += [
            *_listed(between),
            *_shown(turn, FIRST.get(turn.kind, ""), again=turn.kind in seen),
        ]
        between = [_line(each)]
        seen.add(turn.kind)
    parts += [*_listed(between), "## The end", _box(played.end.turn), TAIL, *_report(played.end)]
    return "\n\n".join(part for part in parts if part) + "\n"


def _also(turn: Turn) -> bool:
    return any(turn.heading.startswith(a) or turn.title.startswith(a) for a in ALSO[1:])


def _shown(turn: Turn, before: str, *, again: bool) -> list[str]:
    return [*((before,) if before and not again else ()), _box(turn)]


def _box(turn: Turn) -> str:
    body, foot = dress.fitted(SCREEN, turn, "", None)
    return "\n".join(["```text", *(line.rstrip() for line in (*body, *foot)), "```"])


def _line(each: Told) -> str:
    key = f"`{each.reply or dress.ENTER}`"
    what = each.noted or _label(each)
    return f"- {key} {what}" if what else f"- {key}"


def _label(each: Told) -> str:
    reply = each.turn.reply(each.reply)
    return f"({reply.label})" if reply is not None else ""


def _listed(lines: list[str]) -> list[str]:
    return ["\n".join(lines)] if lines else []


def _report(visit: Visit) -> list[str]:
    from faultnet.report.report import service_report
    from faultnet.writing.written import written

    document = service_report(visit.talk.subject, visit.entries, None, "customer")
    text = written(document, "md").decode()
    return ["\n".join(f"> {line}".rstrip() for line in text.strip().splitlines())]


HEAD = """# A whole visit, from the call to the report

Everything here is invented: the Orquay Valley, its people, their pump. The keys and screens are
what `faultnet visit` shows with the knowledge that is shipped, at a width of 72 columns; the page
is written by `python -m tests.docs.whole_visit`, and a test plays it anew. Below each screen stands
what was pressed, and what was noted of it. What is true at this site: the foot valve has parted
from its pipe, and the seal of a union in the suction line leaks a little as well."""

TAIL = """## The report

`faultnet report` writes the customer's copy (the office has one with all rankings):"""


def write() -> None:
    """Write the page."""
    PAGE.write_text(page_of(story()), encoding="utf-8")


if __name__ == "__main__":
    write()
