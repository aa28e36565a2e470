"""The form of a finding."""

from faultnet.authoring.collection import TERMS, ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import FLAG, TEXT, Choice
from faultnet.authoring.naming import NAME, Id, OneOf
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Sequence
from faultnet.authoring.number import PROBABILITY
from faultnet.authoring.schema.book import KEBAB, SCALAR, Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.authoring.strength import Link, Strength, StrengthKind, links, links_schema
from faultnet.authoring.when import WHEN
from faultnet.model.condition import When
from faultnet.model.finding import CANNOT, URGENCY, Danger, Finding, Follows, Trust
from faultnet.model.origin import Origin

FINDING_ID = Id("finding")
TWO_ANSWERS = ("no", "yes")

TRUST = Form(
    Trust,
    {
        "hit": Key(PROBABILITY, says="How often the speaker says so when it is so."),
        "false-alarm": Key(PROBABILITY, says="How often the speaker says so when it is not so."),
    },
)
SPEAKERS = MapOf(OneOf("caller", "technician"), TRUST)

_DANGER = Form(
    Danger,
    {
        "stop": Key(
            Choice("full", "make-safe"),
            says="Full: nothing but making safe. Make-safe: off at the panel, then go on.",
        ),
        "say": Key(TEXT, says="What to say and do at once."),
        "send": Key(TEXT, "", says="Who or what is sent."),
    },
)


class FollowsKind:
    """Findings to the strength with which this one follows from each."""

    stand_in: tuple[Follows, ...] = ()

    def __init__(self, finding: str) -> None:
        """Keep the finding that follows."""
        self.finding = finding

    def read(self, node: Node, scope: Scope) -> tuple[Follows, ...]:
        """Return the rules in their order."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "findings with strengths", "Write {finding: often}.")
            return ()
        scope = scope.nearer(node)
        return tuple(
            Follows(FINDING_ID.check(name, entry.origin, scope), *_parts(link))
            for name, entry in node.entries.items()
            if name != "from"
            for link in links(self.finding, entry.node, entry.origin, scope)
        )

    def schema(self, book: Book) -> Schema:
        """Return findings with strengths."""
        return links_schema(book)


def _parts(link: Link) -> tuple[Strength, When, Origin]:
    return link.strength, link.when, link.origin


class AnswersKind:
    """The named answers of a finding, two or more."""

    stand_in = TWO_ANSWERS

    def read(self, node: Node, scope: Scope) -> tuple[str, ...]:
        """Return the answers, the normal one first."""
        if not isinstance(node, Sequence) or len(node.items) < len(TWO_ANSWERS):
            scope.wrong_type(node, "two or more answers", "Write [no, slowly, quickly].")
            return TWO_ANSWERS
        return ListOf(NAME).read(node, scope)

    def schema(self, _book: Book) -> Schema:
        """Return a list of two or more names."""
        one = {**SCALAR, "pattern": KEBAB}
        return {"type": "array", "items": one, "minItems": len(TWO_ANSWERS), "uniqueItems": True}


class DangersKind:
    """Answers to what each of them stops."""

    stand_in: tuple[Danger, ...] = ()

    def __init__(self, answers: tuple[str, ...]) -> None:
        """Keep the answers of the finding."""
        self.answers = answers

    def read(self, node: Node, scope: Scope) -> tuple[Danger, ...]:
        """Return the dangers in their order."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "answers with what they stop")
            return ()
        dangers = []
        for answer, entry in node.entries.items():
            if answer not in self.answers:
                message = f"`{answer[:40]}` is no answer of this finding."
                hint = did_you_mean(answer, self.answers)
                scope.tell("unknown-value", entry.origin, message, hint)
            dangers.append(_DANGER.read(entry.node, scope, answer=answer))
        return tuple(danger for danger in dangers if danger)

    def schema(self, book: Book) -> Schema:
        """Return answers with what they stop."""
        return book.by_name(_DANGER.schema(book), without_from=True)


def read_finding(name: str, part: str, origin: Origin, node: Node, scope: Scope) -> Finding | None:
    """Return a finding; kinds of strengths depend on its answers."""
    answers = scope.names.answers.get(name, TWO_ANSWERS)
    if _ambiguous(answers):
        hint = "Write [no, slowly, quickly]: the normal answer first, no `yes` among several."
        message = "`yes` means any answer that is not normal, `no` the normal one: they clash here."
        scope.tell("unknown-value", origin, message, hint)
    return finding_form(name, answers).read(node, scope, id=name, part=part, origin=origin)


def _ambiguous(answers: tuple[str, ...]) -> bool:
    several = len(answers) > len(TWO_ANSWERS)
    normal, *others = answers
    return normal == "yes" or "no" in others or CANNOT in answers or (several and "yes" in others)


def finding_form(name: str, answers: tuple[str, ...]) -> Form[Finding]:
    """Return the form of a finding with these answers."""
    return Form(
        Finding,
        {
            "title": Key(
                TEXT,
                says="What people read: what is seen, heard or felt, in a few words. Prime level "
                "falls.",
            ),
            "ask": Key(TEXT, says="The question to a technician at the pump."),
            "ask-caller": Key(
                TEXT,
                "",
                says="The question to a caller, in words of the house: no prime, no suction, no "
                "cut-in. Left out where a caller cannot tell.",
            ),
            "answers": Key(
                AnswersKind(),
                TWO_ANSWERS,
                says="The answers, the normal one first; without it no and yes.",
            ),
            "shows-anyway": Key(
                StrengthKind(answers), says="How often it shows with no cause at all."
            ),
            "only-when": Key(WHEN, {}, says="The layout under which it can be observed."),
            "hidden-by": Key(
                ListOf(FINDING_ID),
                (),
                says="Findings that hide it: while one of them is there, this one reads normal.",
            ),
            "needs": Key(
                ListOf(FINDING_ID),
                (),
                says="Findings that make it impossible to take; then cannot is an answer too.",
            ),
            "follows-from": Key(
                FollowsKind(name),
                (),
                says="Findings that this one follows from as a rule, with how often; so nothing "
                "counts twice.",
            ),
            "trust": Key(
                SPEAKERS,
                {},
                says="What the word of a caller or technician is worth here, where it differs "
                "from words.yaml.",
            ),
            "fitful": Key(
                FLAG,
                default=False,
                says="Yes where it comes and goes: after a repair it is drawn anew.",
            ),
            "history": Key(
                FLAG, default=False, says="Yes for a story, not a state: a repair does not end it."
            ),
            "danger": Key(
                DangersKind(answers),
                (),
                "dangers",
                says="Answers that stop everything, and what they stop.",
            ),
            "words": Key(TERMS, (), says="How people say it, for searching."),
            "note": Key(TEXT, "", says="A remark for whoever reads the finding."),
            "urgency": Key(
                Choice(*URGENCY),
                "",
                says="What it takes from the house when a caller complains of it.",
            ),
        },
    )
