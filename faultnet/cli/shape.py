"""The shapes of JSON results; fields are added, never renamed."""

from collections.abc import Iterable
from typing import Any

from faultnet.advice.conflict import Said
from faultnet.advice.dangers import DangerMet
from faultnet.model.evidence import Evidence, Round

Json = dict[str, Any]


def evidence(known: Evidence) -> Json:
    """Return what was understood, round by round."""
    return {
        "rounds": [_round(each) for each in known.rounds],
        "layout": known.layout,
        "circumstances": known.circumstances,
        "made_safe": list(known.made_safe),
        "set_ups": list(known.set_ups),
    }


def dangers(met: Iterable[DangerMet]) -> list[Json]:
    """Return the dangers, worst first."""
    return [
        {
            "finding": danger.finding,
            "answer": danger.answer,
            "say": danger.say,
            "send": danger.send,
            "stop": danger.stop,
            "made_safe": danger.made_safe,
        }
        for danger in met
    ]


def conflict(said: Iterable[Said]) -> list[Json]:
    """Return answers that cannot all be true; empty when the evidence is possible."""
    return [
        {
            "about": each.about,
            "answer": each.answer,
            "round": each.round + 1,
            "line": each.line,
        }
        for each in said
    ]


def _round(each: Round) -> Json:
    return {
        "answers": [
            {"finding": said.finding, "answer": said.answer, "by": said.speaker}
            for said in each.answers
        ],
        "readings": {taken.reading: taken.parts for taken in each.taken},
        "mended": list(each.repairs),
    }
