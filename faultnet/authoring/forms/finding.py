"""The form of a finding."""

from faultnet.authoring.collection import TERMS, ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import FLAG, TEXT, Choice
from faultnet.authoring.naming import NAME, Id, one_of
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Sequence
from faultnet.authoring.number import PROBABILITY
from faultnet.authoring.scope import Scope
from faultnet.authoring.strength import Link, Strength, StrengthKind, links
from faultnet.authoring.when import WHEN
from faultnet.model.condition import When
from faultnet.model.finding import CANNOT, URGENCY, Danger, Finding, Follows, Trust
from faultnet.model.origin import Origin

FINDING_ID = Id("finding")
TWO_ANSWERS = ("no", "yes")

TRUST = Form(Trust, {"hit": Key(PROBABILITY), "false-alarm": Key(PROBABILITY)})
SPEAKERS = MapOf(one_of("caller", "technician"), TRUST)

_DANGER = Form(
    Danger,
    {"stop": Key(Choice("full", "make-safe")), "say": Key(TEXT), "send": Key(TEXT, "")},
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


def read_finding(name: str, part: str, origin: Origin, node: Node, scope: Scope) -> Finding | None:
    """Return a finding; kinds of strengths depend on its answers."""
    answers = scope.names.answers.get(name, TWO_ANSWERS)
    if _ambiguous(answers):
        hint = "Write [no, slowly, quickly]: the normal answer first, no `yes` among several."
        message = "`yes` means any answer that is not normal, `no` the normal one: they clash here."
        scope.tell("unknown-value", origin, message, hint)
    return _form(name, answers).read(node, scope, id=name, part=part, origin=origin)


def _ambiguous(answers: tuple[str, ...]) -> bool:
    several = len(answers) > len(TWO_ANSWERS)
    normal, *others = answers
    return normal == "yes" or "no" in others or CANNOT in answers or (several and "yes" in others)


def _form(name: str, answers: tuple[str, ...]) -> Form[Finding]:
    return Form(
        Finding,
        {
            "title": Key(TEXT),
            "ask": Key(TEXT),
            "ask-caller": Key(TEXT, ""),
            "answers": Key(AnswersKind(), TWO_ANSWERS),
            "shows-anyway": Key(StrengthKind(answers)),
            "only-when": Key(WHEN, {}),
            "hidden-by": Key(ListOf(FINDING_ID), ()),
            "needs": Key(ListOf(FINDING_ID), ()),
            "follows-from": Key(FollowsKind(name), ()),
            "trust": Key(SPEAKERS, {}),
            "fitful": Key(FLAG, default=False),
            "history": Key(FLAG, default=False),
            "danger": Key(DangersKind(answers), (), "dangers"),
            "words": Key(TERMS, ()),
            "note": Key(TEXT, ""),
            "urgency": Key(Choice(*URGENCY), ""),
        },
    )
