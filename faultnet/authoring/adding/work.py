"""The questions for new repairs and checks."""

from faultnet.authoring.adding import ask
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.named import named
from faultnet.authoring.adding.question import Entry, Question, Walk
from faultnet.authoring.node import Value

_SITE = ("minutes", "waiting", "who", "power", "opens", "place")
_DOING = ("tools", "steps", "cautions")
_PROOF = ("proof", "proof-minutes", "disinfect")


def new_repair(at: AtHand) -> Walk[Entry]:
    """Ask for a repair; return the answers that name it and hold it."""
    heading = "A new repair"
    head = yield from named(at, heading, "repairs")
    while head is None:
        head = yield from named(at, heading, "repairs")
    heading = f"A new repair: {head['title']}"
    entry = yield from _work(at, heading, "repairs", head["title"])
    more = yield from ask.keys(at, heading, "repairs", ("parts", *_PROOF))
    return {"repair": head["id"], "repairs": {str(head["id"]): {**entry, **more}}}


def new_check(at: AtHand) -> Walk[Entry | None]:
    """Ask for a check, without what it reveals; return its id and its keys, or None."""
    heading = "A new check"
    head = yield from named(at, heading, "checks")
    if head is None:
        return None
    heading = f"A new check: {head['title']}"
    entry = yield from _work(at, heading, "checks", head["title"])
    return {"id": head["id"], **entry}


def _work(at: AtHand, heading: str, section: str, title: Value) -> Walk[Entry]:
    entry: dict[str, Value] = {"title": title}
    site = yield from ask.keys(at, heading, section, _SITE)
    needs = Question(
        heading, "Which states of the site does it need?", (at.told_of(section, "set-ups"),)
    )
    set_ups = yield from ask.set_ups(at, needs)
    doing = yield from ask.keys(at, heading, section, _DOING)
    return {**entry, **site, **({"set-ups": set_ups} if set_ups else {}), **doing}
