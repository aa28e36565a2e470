"""The form of a case that stands beside the knowledge."""

import re
from typing import Any

import msgspec

from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import NAME, TERM, TEXT, Choice, Id, ListOf, MapOf, any_name
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.number import ANY_NUMBER, PROBABILITY
from faultnet.authoring.scope import Scope
from faultnet.authoring.when import LAYOUT_ID, layout_value
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.model.example import Example, Expect
from faultnet.model.knowledge import Knowledge

CAUSE = Id("cause")
CAUSES = ListOf(CAUSE)
SPEAKERS = ("technician", "caller")
_TOP = re.compile(r"top-([1-9][0-9]?)", re.ASCII)


class Given(msgspec.Struct, frozen=True):
    """What was answered: findings, and circumstances."""

    answers: dict[str, str] = {}
    circumstances: dict[str, bool] = {}


class GivenKind:
    """Findings and circumstances to answers."""

    stand_in = Given()

    def read(self, node: Node, scope: Scope) -> Given:
        """Return the answers, findings apart from circumstances."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "findings with answers", "Write {no-water: yes}.")
            return Given()
        answers: dict[str, str] = {}
        circumstances: dict[str, bool] = {}
        for name, entry in node.entries.items():
            said = _said(name, entry.node, scope)
            if scope.names.has(name, "circumstance"):
                circumstances[name] = said == "yes"
            elif _FINDING.check(name, entry.origin, scope) in scope.names.answers:
                answers[name] = said
        return Given(answers, circumstances)


_FINDING = Id("finding", "circumstance")


def _said(name: str, node: Node, scope: Scope) -> str:
    known = ("yes", "no", *scope.names.answers.get(name, ()))
    if not isinstance(node, Scalar):
        scope.wrong_type(node, "an answer")
        return ""
    if node.text not in known:
        message = f"`{node.text[:40]}` is no answer of `{name[:60]}`."
        scope.tell("unknown-value", node.origin, message, did_you_mean(node.text, known))
    return node.text


class LayoutKind:
    """Layouts to the one value that is known."""

    @property
    def stand_in(self) -> dict[str, str]:
        """Nothing known."""
        return {}

    def read(self, node: Node, scope: Scope) -> dict[str, str]:
        """Return the known values."""
        texts = MapOf(LAYOUT_ID.check, TERM).read(node, scope)
        entries = node.entries if isinstance(node, Mapping) else {}
        for layout, value in texts.items():
            layout_value(layout, value, entries[layout].node.origin, scope)
        return texts


class WithinKind:
    """The keys top-1 to top-99 with causes, beside the other expectations."""

    def __init__(self, form: Form[Expect]) -> None:
        """Keep the form of the other expectations."""
        self.form = form

    stand_in = Expect()

    def read(self, node: Node, scope: Scope) -> Expect:
        """Return what must come out; nothing at all is told."""
        ranks = _ranks(node)
        others = node
        if isinstance(node, Mapping):
            kept = {key: each for key, each in node.entries.items() if key not in ranks}
            others = Mapping(node.origin, kept)
            if not node.entries:
                message = "The case expects nothing, so it examines nothing."
                scope.tell("missing-key", node.origin, message, "Write first: [...] or another.")
        expect = self.form.read(others, scope) or Expect()
        within = {
            rank: CAUSES.read(node.entries[key].node, scope)
            for key, rank in ranks.items()
            if isinstance(node, Mapping)
        }
        return msgspec.structs.replace(expect, within=within)


def _ranks(node: Node) -> dict[str, int]:
    keys = node.entries if isinstance(node, Mapping) else {}
    return {key: int(found[1]) for key in keys if (found := _TOP.fullmatch(key))}


class PairsKind:
    """Pairs of causes, the first to come out before the second."""

    stand_in: tuple[tuple[str, str], ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[tuple[str, str], ...]:
        """Return the pairs."""
        pairs = ListOf(CAUSES).read(node, scope)
        if any(len(pair) != 2 for pair in pairs):
            scope.wrong_type(node, "a list of pairs of causes", "Write [[first, second]].")
        return tuple((pair[0], pair[1]) for pair in pairs if len(pair) == 2)


def _expect(at_least: dict[str, Any], **values: Any) -> Expect:
    return Expect(at_least={cause: each.value for cause, each in at_least.items()}, **values)


_EXPECT = WithinKind(
    Form(
        _expect,
        {
            "first": Key(CAUSES, ()),
            "before": Key(PairsKind(), ()),
            "at-least": Key(MapOf(CAUSE.check, PROBABILITY), {}),
            "next": Key(ListOf(Id("check", "repair")), ()),
            "danger": Key(Id("finding"), ""),
        },
    )
)


class TakenKind:
    """Readings to their parts and numbers."""

    stand_in: tuple[Taken, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[Taken, ...]:
        """Return the readings that were taken."""
        parts = MapOf(Id("reading").check, MapOf(any_name, ANY_NUMBER)).read(node, scope)
        return tuple(
            Taken(name, {part: number.value for part, number in each.items()})
            for name, each in parts.items()
        )


class Stage(msgspec.Struct, frozen=True):
    """A round as written."""

    given: Given
    readings: tuple[Taken, ...]
    mended: tuple[str, ...] = ()
    redraws: tuple[str, ...] = ()


_GIVEN = {"given": Key(GivenKind(), Given()), "readings": Key(TakenKind(), ())}
_STAGE = Form(
    Stage,
    {
        **_GIVEN,
        "mended": Key(ListOf(Id("repair")), ()),
        "redraws": Key(ListOf(Id("finding")), ()),
    },
)


class Written(msgspec.Struct, frozen=True):
    """A case as written."""

    id: str
    system: str
    reason: str
    given: Given
    readings: tuple[Taken, ...]
    layout: dict[str, str]
    by: str
    set_ups: tuple[str, ...]
    rounds: tuple[Stage, ...]
    expect: Expect


_CASE = Form(
    Written,
    {
        "id": Key(NAME),
        "system": Key(Id("system")),
        "reason": Key(TEXT),
        "layout": Key(LayoutKind(), {}),
        "by": Key(Choice(*SPEAKERS), SPEAKERS[0]),
        "set-ups": Key(ListOf(Id("set-up")), ()),
        "rounds": Key(ListOf(_STAGE, distinct=False), ()),
        "expect": Key(_EXPECT),
        **_GIVEN,
    },
)


def read_example(node: Node, scope: Scope, knowledge: Knowledge) -> Example | None:
    """Return a case; what it expects must be possible in its system."""
    name = _id_of(node)
    scope = scope.about(name)
    numbers = scope if scope.provenance else msgspec.structs.replace(scope, provenance=("case",))
    written = _CASE.read(node, numbers)
    if written is None or not isinstance(node, Mapping):
        return None
    _in_system(written, node, scope, knowledge)
    _whole_readings(written, node, scope, knowledge)
    return Example(
        id=written.id,
        system=written.system,
        reason=written.reason,
        evidence=_evidence(written),
        expect=written.expect,
        origin=node.origin,
        provenance=scope.nearer(node).provenance,
    )


def _id_of(node: Node) -> str:
    entry = node.entries.get("id") if isinstance(node, Mapping) else None
    return entry.node.text if entry and isinstance(entry.node, Scalar) else ""


def _evidence(written: Written) -> Evidence:
    """Return the evidence; what is given before the rounds belongs to the first of them."""
    stages = written.rounds
    top = Stage(written.given, written.readings)
    rounds = [_round(stage, written.by) for stage in stages] or [Round()]
    first = _round(top, written.by)
    rounds[0] = msgspec.structs.replace(
        rounds[0],
        answers=(*first.answers, *rounds[0].answers),
        taken=(*first.taken, *rounds[0].taken),
    )
    if rounds[-1].repairs or rounds[-1].redraws:
        rounds.append(Round())
    circumstances = {
        name: so for stage in (top, *stages) for name, so in stage.given.circumstances.items()
    }
    return Evidence(tuple(rounds), written.layout, circumstances, written.set_ups)


def _round(stage: Stage, speaker: str) -> Round:
    answers = tuple(Answer(name, said, speaker) for name, said in stage.given.answers.items())
    return Round(answers, stage.readings, stage.mended, stage.redraws)


def _in_system(written: Written, node: Mapping, scope: Scope, knowledge: Knowledge) -> None:
    system = knowledge.systems.get(written.system)
    if system is None:
        return
    expect = written.expect
    named = (*expect.first, *expect.at_least, *(c for each in expect.within.values() for c in each))
    for cause in dict.fromkeys((*named, *(c for pair in expect.before for c in pair))):
        if cause in knowledge.causes and knowledge.causes[cause].part not in system.parts:
            message = f"The cause `{cause}` stands in no part of `{system.id}`."
            scope.tell("not-in-system", node.entries["expect"].origin, message, "Look at `parts`.")
    for layout, value in written.layout.items():
        possible = system.layout.get(layout, {})
        if value in scope.names.values.get(layout, ()) and value not in possible:
            message = f"In `{system.id}` the layout `{layout}` is never `{value}`."
            hint = f"There it is one of {', '.join(possible)}."
            scope.tell("not-in-system", node.entries["layout"].origin, message, hint)


def _whole_readings(written: Written, node: Mapping, scope: Scope, knowledge: Knowledge) -> None:
    stages = (Stage(written.given, written.readings), *written.rounds)
    for taken in (taken for stage in stages for taken in stage.readings):
        reading = knowledge.readings.get(taken.reading)
        if reading and taken.parts.keys() != reading.takes.keys():
            place = node.entries.get("readings") or node.entries["rounds"]
            message = f"The reading `{taken.reading}` does not have just its own parts."
            hint = f"Give a number for each of {', '.join(reading.takes)}."
            scope.tell("unknown-value", place.origin, message, hint)
