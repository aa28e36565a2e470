"""The questions for new repairs and checks."""

from faultnet.authoring.adding import ask
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.named import named
from faultnet.authoring.adding.question import Entry, Option, Question, Walk

_SITE = ("minutes", "waiting", "who", "power", "opens", "place")
_DOING = ("tools", "steps", "cautions")
_PROOF = ("proof", "proof-minutes", "disinfect")


def new_repair(at: AtHand, part: str) -> Walk[Entry]:
    """Ask for a repair; return the answers that name it and hold it."""
    heading = "A new repair"
    head = yield from named(at, heading, "repairs")
    while head is None:
        head = yield from named(at, heading, "repairs")
    heading = f"A new repair: {head['title']}"
    entry = yield from _work(at, heading, part, "repairs", head)
    more = yield from ask.keys(at, heading, "repairs", ("parts", *_PROOF))
    return {"repair": head["id"], "repairs": {str(head["id"]): {**entry, **more}}}


def new_check(at: AtHand, part: str) -> Walk[Entry | None]:
    """Ask for a check, without what it reveals; return its id and its keys, or None."""
    heading = "A new check"
    head = yield from named(at, heading, "checks")
    if head is None:
        return None
    heading = f"A new check: {head['title']}"
    entry = yield from _work(at, heading, part, "checks", head)
    return {"id": head["id"], **entry}


def _work(at: AtHand, heading: str, part: str, section: str, head: Entry) -> Walk[Entry]:
    """Ask what it takes, until nothing about it is unsafe."""
    while True:
        site = yield from ask.keys(at, heading, section, _SITE)
        why = (at.told_of(section, "set-ups"),)
        needs = Question(heading, "Which states of the site does it need?", why)
        set_ups = yield from ask.set_ups(at, needs)
        doing = yield from ask.keys(at, heading, section, _DOING)
        needed: Entry = {"set-ups": set_ups} if set_ups else {}
        entry: Entry = {"title": head["title"], **site, **needed, **doing}
        unsafe = at.unsafe(part, section, str(head["id"]), entry)
        if not unsafe:
            return entry
        again = (Option("answer once more, from the minutes on", ""),)
        yield Question(heading, "It cannot be done so.", unsafe, again, alarm=True)
