"""The guide of `add` held on a terminal: a question per screen, back, and stop."""

from typing import TYPE_CHECKING

from faultnet.authoring.adding.question import Entry, Guide, Question, UnfitError
from faultnet.cli.conversation import Conversation
from faultnet.visit.turn import KEYS, Line, Reply, Turn, Typed

if TYPE_CHECKING:
    from faultnet.authoring.adding.at_hand import Find
    from faultnet.authoring.node import Value
    from faultnet.model.knowledge import Knowledge

BACK = Reply("u", "back to the question before", view="back")
STOP = Reply("q", "stop, write nothing", view="stop")
MORE = Reply("m", "more", view="more")
PAGE = 9
"""Options that are shown at a time."""


def hold(talker: Conversation, guide: Guide) -> Entry | None:
    """Ask until the guide is through; return what came of it, or None where it was stopped."""
    note = ""
    first = 0
    while guide.question is not None:
        question = guide.question
        reply = talker.ask(turn_of(question, first), note)
        note = ""
        if reply is None or reply == STOP:
            return None
        if reply == MORE:
            first = first + PAGE if first + PAGE < len(question.options) else 0
            continue
        try:
            if reply == BACK:
                note = "" if guide.back() else "This is the first question."
            else:
                guide.answer(_answer(question, reply))
        except UnfitError as unfit:
            note = str(unfit)
        first = 0
    return guide.result


def turn_of(question: Question, first: int = 0) -> Turn:
    """Return a question as it is shown, options from the first on; a choice is its place."""
    shown = list(enumerate(question.options))[first : first + PAGE]
    replies = [
        Reply(key, option.label, view=str(place))
        for key, (place, option) in zip(KEYS, shown, strict=False)
    ]
    if len(question.options) > PAGE:
        replies.append(MORE)
    if question.enter:
        replies.append(Reply("", question.enter, view="enter"))
    return Turn(
        "danger" if question.alarm else "question",
        question.heading,
        question.title,
        tuple(Line("say", text) for text in question.why),
        tuple(replies),
        (BACK, STOP),
        Typed("answer", question.prompt) if question.prompt else None,
    )


def agreed(talker: Conversation, lines: list[str], *, sound: bool) -> Reply | str | None:
    """Show what would be written and ask; return BACK, STOP, or a reply with the view write."""
    write = (Reply("y", "write it", view="write"),) if sound else ()
    title = "Is this right?" if sound else "It cannot be written so. Go back and mend it."
    shown = tuple(Line("say", line) for line in lines)
    return talker.ask(Turn("question", "The change", title, shown, write, (BACK, STOP)))


def index_of(knowledge: "Knowledge") -> "Find":
    """Return what finds entries of a section by the words that people use for them."""
    from faultnet.visit.search import Entry as Words
    from faultnet.visit.search import Index, knowledge_index

    sources = Index({name: Words(each.title) for name, each in knowledge.sources.items()})
    index = knowledge_index(knowledge)

    def find(section: str, text: str) -> list[str]:
        if section == "sources":
            return sources.find(text)
        return [name for kind, name in index.find(text) if kind == section]

    return find


def _answer(question: Question, reply: Reply | str) -> "Value":
    if isinstance(reply, str):
        return question.take(reply)
    if reply.view == "enter":
        typed = question.prompt and isinstance(question.enter_value, str)
        return question.take(str(question.enter_value)) if typed else question.enter_value
    return question.options[int(reply.view)].value
