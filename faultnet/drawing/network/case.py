"""What is known of one trouble, marked on the network: what was told, and what it makes likely."""

from msgspec.structs import replace

from faultnet.advice.ranking import Ranking
from faultnet.advice.subject import Subject
from faultnet.drawing.network.graph import MEASURED, Graph
from faultnet.model.evidence import Evidence
from faultnet.model.in_words import plain, value_title
from faultnet.network.build import UNLISTED
from faultnet.visit.figures import numbers_said


def is_told(evidence: Evidence) -> bool:
    """Whether anything at all was told."""
    rounds = any(each.answers or each.taken or each.repairs for each in evidence.rounds)
    return bool(rounds or evidence.layout or evidence.circumstances)


def marked(graph: Graph, subject: Subject, evidence: Evidence, ranking: Ranking) -> Graph:
    """Return a graph with what was told on its nodes, beliefs on its causes, dangers above it."""
    told = told_of(subject, evidence)
    beliefs = {cause.id: cause.probability for cause in ranking.causes}
    beliefs[UNLISTED] = ranking.unlisted
    nodes = tuple(
        replace(node, told=told.get(node.id, ""), belief=_belief(beliefs, node.kind, node.name))
        for node in graph.nodes
    )
    findings = subject.knowledge.findings
    warnings = tuple(
        f"DANGER: {findings[each.finding].title}. {each.say} Send: {each.send}"
        for each in ranking.dangers
        if not each.made_safe
    )
    more = f"More than one fault at once: {ranking.more_than_one:.0%}."
    return replace(graph, nodes=nodes, notes=(*graph.notes, more), warnings=warnings)


def told_of(subject: Subject, evidence: Evidence) -> dict[str, str]:
    """Return what was told, by the ids of nodes; the last word counts."""
    known = subject.knowledge
    told = {f"root:{k}": value_title(known, k, v) for k, v in evidence.layout.items()}
    told |= {f"root:{k}": "yes" if held else "no" for k, held in evidence.circumstances.items()}
    several = len(evidence.rounds) > 1
    for number, round_ in enumerate(evidence.rounds, start=1):
        when = f" (round {number})" if several else ""
        for answer in round_.answers:
            told[f"finding:{answer.finding}"] = f"{plain(answer.answer)}{when}"
        for taken in round_.taken:
            numbers = numbers_said(subject, taken, evidence.layout)
            for finding in known.readings[taken.reading].findings:
                told[f"finding:{finding}"] = f"{MEASURED}{numbers}{when}"
    return told


def _belief(beliefs: dict[str, float], kind: str, name: str) -> float | None:
    return beliefs.get(name) if kind == "cause" else None
