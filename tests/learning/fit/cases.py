"""Closed cases of the small pump, good and spoilt; invented."""

from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase, Confirmation, StepTaken
from faultnet.model.evidence import Answer, Evidence, Round

NOW = "2026-06-01T00:00:00Z"


def good(name="case-1", minute=0):
    """Return a case in which a valve was found leaking and renewed."""
    rounds = (
        Round(
            (
                Answer("no-water", "yes", "caller"),
                Answer("motor-silent", "no"),
                Answer("prime-falls", "quickly"),
            ),
            (),
            ("renew-valve",),
        ),
        Round((Answer("no-water", "no"),)),
    )
    return ClosedCase(
        id=name,
        system="small-pump",
        opened=f"2026-03-04T07:{minute % 60:02d}:05.123Z",
        closed="2026-03-04T09:02:00.000Z",
        ending="mended",
        evidence=Evidence(rounds, {"check-valve": "foot"}, {"after-freeze": False}),
        confirmed=(Confirmation("valve-leaks"),),
        steps=(StepTaken("look-at-prime", "check", 0, 6.0), StepTaken("renew-valve", "repair")),
        parts=(),
        unknown=("gauge-falls",),
    )


def with_answers(case, *answers):
    """Return the case with these answers alone, in one round."""
    evidence = replace(case.evidence, rounds=(Round(answers),))
    return replace(case, evidence=evidence, confirmed=(), steps=(), ending="referred")
