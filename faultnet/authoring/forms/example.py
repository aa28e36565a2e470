"""The form of a case that stands beside the knowledge."""

import msgspec

from faultnet.authoring.collection import ListOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.forms.expect import EXPECT
from faultnet.authoring.forms.given import Given, GivenKind, LayoutKind, TakenKind
from faultnet.authoring.kind import TEXT, Choice
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.scope import Scope
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.model.example import Example, Expect
from faultnet.model.knowledge import Knowledge

SPEAKERS = ("technician", "caller")


class Stage(msgspec.Struct, frozen=True):
    """A round as written."""

    given: Given
    readings: tuple[Taken, ...]
    mended: tuple[str, ...] = ()
    redraws: tuple[str, ...] = ()
    spoiled: tuple[str, ...] = ()


_GIVEN = {
    "given": Key(
        GivenKind(),
        Given(),
        says="What was answered before the rounds: findings and circumstances.",
    ),
    "readings": Key(TakenKind(), (), says="Readings with their parts, each in its own unit."),
}
_STAGE = Form(
    Stage,
    {
        **_GIVEN,
        "mended": Key(ListOf(Id("repair")), (), says="Repairs that end the round."),
        "redraws": Key(
            ListOf(Id("finding")),
            (),
            says="Findings drawn anew from the next round on, after a step that changed the "
            "system.",
        ),
        "spoiled": Key(
            ListOf(Id("finding")), (), says="Findings that can no longer be taken in this round."
        ),
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
    made_safe: tuple[str, ...]
    rounds: tuple[Stage, ...]
    expect: Expect


CASE = Form(
    Written,
    {
        "id": Key(NAME, says="The id of the case."),
        "system": Key(Id("system"), says="The system it belongs to."),
        "reason": Key(TEXT, says="Why somebody of the trade would say so."),
        "layout": Key(
            LayoutKind(), {}, says="How the installation is laid out, as far as it is known."
        ),
        "by": Key(Choice(*SPEAKERS), SPEAKERS[0], says="Who gave the answers."),
        "set-ups": Key(
            ListOf(Id("set-up")), (), says="Set-ups that are made already, so they cost nothing."
        ),
        "made-safe": Key(ListOf(Id("finding")), (), says="Dangers that have been dealt with."),
        "rounds": Key(
            ListOf(_STAGE, distinct=False), (), says="What was found and mended, round after round."
        ),
        "expect": Key(EXPECT, says="What must come out."),
        **_GIVEN,
    },
)


def read_example(node: Node, scope: Scope, knowledge: Knowledge) -> Example | None:
    """Return a case; what it expects must be possible in its system."""
    name = _id_of(node)
    scope = scope.about(name)
    numbers = scope if scope.provenance else msgspec.structs.replace(scope, provenance=("case",))
    written = CASE.read(node, numbers)
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
    return Evidence(
        rounds=tuple(rounds),
        layout=written.layout,
        circumstances=circumstances,
        set_ups=written.set_ups,
        made_safe=written.made_safe,
    )


def _round(stage: Stage, speaker: str) -> Round:
    answers = tuple(Answer(name, said, speaker) for name, said in stage.given.answers.items())
    return Round(
        answers=answers,
        taken=stage.readings,
        repairs=stage.mended,
        redraws=stage.redraws,
        spoiled=stage.spoiled,
    )


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
        missing = ", ".join(reading.missing(taken.parts)) if reading else ""
        message = f"The reading `{taken.reading}` also needs {missing}." if missing else ""
        if reading and (message := message or reading.refusal(taken.parts)):
            place = node.entries.get("readings") or node.entries["rounds"]
            hint = f"It needs {', '.join(reading.required)}, and takes {', '.join(reading.takes)}."
            scope.tell("unknown-value", place.origin, message, hint)
