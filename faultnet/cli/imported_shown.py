"""Answers about an imported network, as JSON and as lines."""

from typing import TYPE_CHECKING

import click

from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from faultnet.advice.imported import FaultRanking, Question
    from faultnet.advice.imported_steps import LookAhead
    from faultnet.cli.asked import Asked
    from faultnet.cli.screen import Screen
    from faultnet.shapes.plain import Json


def rank(asked: "Asked", path: "Path", count: int | None, *, as_json: bool) -> int:
    """Rank the targets of an imported network; ``count`` limits what is shown."""
    from faultnet.advice.imported import rank_faults
    from faultnet.cli.imported import question

    what, assumed = question(asked, path)
    ranking = rank_faults(what)
    said = [text for text in assumed if "--c" not in text]
    if as_json:
        show_json({**_ranking(asked.system, what, ranking, count), "assumed": said})
    else:
        from faultnet.cli.screen import this_screen

        show(_ranking_text(this_screen(), asked.system, what, ranking, count))
        _tell(said)
    return PROBLEMS if ranking.conflict else 0


def look_ahead(asked: "Asked", path: "Path", count: int | None, *, as_json: bool) -> int:
    """Show the next steps on an imported network; ``count`` limits what is shown."""
    from faultnet.advice.imported_steps import look_ahead as ahead
    from faultnet.cli.imported import question

    what, assumed = question(asked, path)
    advice = ahead(what)
    if as_json:
        show_json({**_advice(asked.system, what, advice, count), "assumed": assumed})
    else:
        from faultnet.cli.screen import this_screen

        show(_advice_text(this_screen(), asked.system, what, advice, count))
        _tell(assumed)
    return PROBLEMS if advice.conflict else 0


def _tell(assumed: "Sequence[str]") -> None:
    for text in assumed:
        click.echo(text, err=True)


def _ranking(system: str, what: "Question", ranking: "FaultRanking", count: int | None) -> "Json":
    answers = [
        {"finding": name, "answer": state, "by": "technician"}
        for name, state in what.evidence.items()
    ]
    return {
        "system": system,
        "engine": what.engine.name,
        "evidence": {
            "rounds": [{"answers": answers, "readings": {}, "mended": []}],
            "layout": {},
            "circumstances": {},
            "made_safe": [],
            "set_ups": [],
        },
        "evidence_probability": ranking.evidence_probability,
        "causes": [
            {
                "id": fault.id,
                "title": fault.id,
                "states": list(fault.states),
                "probability": fault.probability,
                "group": None,
            }
            for fault in ranking.faults[:count]
        ],
        "groups": [],
        "unlisted": None,
        "none": ranking.none,
        "more_than_one": ranking.more_than_one,
        "dangers": [],
        "conflict": _conflict(what, ranking.conflict),
    }


def _conflict(what: "Question", names: "Sequence[str]") -> "list[Json]":
    return [
        {"about": name, "answer": what.evidence[name], "round": 1, "line": ""} for name in names
    ]


def _advice(system: str, what: "Question", advice: "LookAhead", count: int | None) -> "Json":
    return {
        "system": system,
        "engine": what.engine.name,
        "unit": "cost",
        "dangers": [],
        "steps": [
            {
                "id": step.id,
                "kind": step.kind,
                "title": step.id,
                "minutes": None,
                "waiting": None,
                "price": step.price,
                "expected_total": step.expected_total,
                "setups": [],
                "who": None,
                "outcomes": [
                    {"answers": {step.id: state}, "probability": chance}
                    for state, chance in step.answers.items()
                ],
                "cautions": [],
            }
            for step in advice.steps[:count]
        ],
        "floor": advice.floor,
        "repairs_alone": advice.repairs_alone,
        "conflict": _conflict(what, advice.conflict),
    }


def _ranking_text(
    screen: "Screen", system: str, what: "Question", ranking: "FaultRanking", count: int | None
) -> list[str]:
    from faultnet.cli.screen import percent

    if ranking.conflict:
        return _conflict_text(screen, what, ranking.conflict)
    lines = [screen.bold(system), ""]
    for fault in ranking.faults[:count]:
        lines += screen.wrap(
            f"{fault.id}={' or '.join(fault.states)}", 7, percent(fault.probability)
        )
        lines.append(f"{'':7}{screen.mild(screen.bar(fault.probability, 20))}")
    lines.append("")
    lines += screen.wrap("None of them", 7, percent(ranking.none))
    return [*lines, *screen.wrap("More than one at once", 7, percent(ranking.more_than_one))]


def _advice_text(
    screen: "Screen", system: str, what: "Question", advice: "LookAhead", count: int | None
) -> list[str]:
    from faultnet.cli.screen import percent

    if advice.conflict:
        return _conflict_text(screen, what, advice.conflict)
    lines = [screen.bold(system), ""]
    for number, step in enumerate(advice.steps[:count]):
        verb = "Look at" if step.kind == "check" else "Mend"
        total = f"{step.expected_total:8.4g}"
        lines += screen.wrap(f"{verb} {step.id} (costs {step.price:g})", 10, total)
        if number == 0:
            for state, chance in step.answers.items():
                lines += screen.wrap(f"{percent(chance)}  {state}", 17, " " * 10)
    told = (
        f"Repairs alone come to {advice.repairs_alone:.4g}; knowing the fault, {advice.floor:.4g}."
    )
    return [*lines, "", *map(screen.dim, screen.wrap(told))]


def _conflict_text(screen: "Screen", what: "Question", names: "Sequence[str]") -> list[str]:
    told = "These cannot all be true together. Look again; leave one out."
    lines = screen.wrap(told)
    for name in names:
        lines += screen.wrap(f"{name}={what.evidence[name]}", 2)
    return lines
