"""Questions for what every new entry has: part, title, id, where its numbers come from."""

from functools import partial

from msgspec.structs import replace

from faultnet.authoring.adding.ask import found, key, typed
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.question import Asking, Entry, Option, Question, Walk
from faultnet.authoring.names import SECTIONS, kebab
from faultnet.authoring.node import Value

_SAME = "same"
_PART = "The file it will stand in: the area of the installation that it belongs to."
_ID = (
    "The name by which files and commands know it: small letters and digits, hyphens between.",
    "It never changes later, so let it say what it is.",
)
_FROM = (
    "Judgement: your own trade judgement. Practice: common practice, no publication. Memory: out of"
    " a publication, not looked at again."
)


def part_of(at: AtHand, heading: str) -> Asking:
    """Ask for the part."""
    options = tuple(Option(each.title, name) for name, each in at.knowledge.parts.items())
    return (yield Question(heading, "Which part does it belong to?", (_PART,), options))


def begun(at: AtHand, heading: str, section: str) -> Walk[Entry | None]:
    """Ask for part, id and title; None where the entry is there already."""
    part = yield from part_of(at, heading)
    head = yield from named(at, heading, section)
    return None if head is None else {"part": part, **head}


def named(at: AtHand, heading: str, section: str) -> Walk[Entry | None]:
    """Ask for title and id; what is nearly the same is shown. None where it is the same."""
    title = str((yield from key(at, heading, section, "title")))
    new = f"{heading}: {title}"
    proposed = kebab(title)
    question = Question(new, "What is its id?", (*_ID, f"For example: {proposed}"))
    take = partial(at.new_id, section)
    name = yield from typed(replace(question, enter=proposed, enter_value=proposed), take)
    near = at.near(section, str(name), title)
    if near:
        told = tuple(f"{each} ({other})" for other, each in near.items())
        same = f"Is it the same {SECTIONS[section]} as one of these?"
        other = Option("no, another one: go on", "")
        stop = Option("yes, the same: stop here", _SAME)
        if (yield Question(new, same, told, (other, stop))) == _SAME:
            return None
    return {"id": name, "title": title}


def provenance(at: AtHand, heading: str) -> Asking:
    """Ask where the numbers come from; None where the file says it already."""
    options = (
        Option("my own trade judgement", "judgement"),
        Option("common practice in the trade", "practice"),
        Option("a publication, from memory", "memory"),
        *((Option("a publication in sources.yaml", ""),) if at.knowledge.sources else ()),
    )
    question = Question(heading, "Where do the numbers come from?", (_FROM,), options)
    value: Value = yield question
    if value == "":
        value = yield from found(at, replace(question, options=(), enter="judgement"), "sources")
    return value or "judgement"
