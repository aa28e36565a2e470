"""What comes before any result: dangers, and answers that cannot all be true."""

from collections.abc import Iterable, Sequence

from faultnet.advice.conflict import Said
from faultnet.advice.dangers import DangerMet
from faultnet.advice.subject import Subject
from faultnet.cli.screen import Screen
from faultnet.model.knowledge import Knowledge


def dangers(screen: Screen, subject: Subject, met: Iterable[DangerMet]) -> list[str]:
    """Return the dangers as lines; empty when there are none."""
    lines = []
    for danger in met:
        title = subject.knowledge.findings[danger.finding].title
        if danger.made_safe:
            lines += [*map(screen.dim, screen.wrap(f"Made safe: {title}")), ""]
            continue
        lines += map(screen.alarm, screen.wrap(title, 8, "DANGER"))
        lines += screen.wrap(danger.say, 2)
        lines += screen.wrap(f"Send: {danger.send}", 2)
        lines.append("")
    return lines


def region(screen: Screen, knowledge: Knowledge) -> list[str]:
    """Return which region's numbers are in use as a line; nothing where all share them."""
    return [*map(screen.dim, screen.wrap(told)), ""] if (told := region_said(knowledge)) else []


def region_said(knowledge: Knowledge) -> str:
    """Return which region's numbers are in use; nothing where all share them."""
    chosen = knowledge.regions.get(knowledge.region)
    return f"With the numbers of a region: {chosen.title} ({chosen.id})." if chosen else ""


def conflict(screen: Screen, subject: Subject, said: Sequence[Said]) -> list[str]:
    """Return the answers that cannot all be true, each with its authored line."""
    told = "These cannot all be true together. Ask again, or look again; leave one out."
    lines = screen.wrap(told)
    for each in said:
        where = f"round {each.round + 1}: " if several(said) else ""
        lines += screen.wrap(f"{where}{_title(subject, each.about)}", 2)
        lines += screen.wrap(f"{each.about}={each.answer}", 4)
        lines += map(screen.dim, screen.wrap(each.line, 4))
    return lines


def several(said: Sequence[Said]) -> bool:
    """Whether answers of later rounds are among them."""
    return any(each.round for each in said)


def _title(subject: Subject, about: str) -> str:
    knowledge = subject.knowledge
    for entries in (
        knowledge.findings,
        knowledge.readings,
        knowledge.layouts,
        knowledge.circumstances,
    ):
        if about in entries:
            return str(entries[about].title)
    return about
