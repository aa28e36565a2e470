"""Why this step: what is probably wrong, and what the step is expected to save."""

from faultnet.advice.steps import Advice
from faultnet.visit.progress import Progress
from faultnet.visit.steps import chosen
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import ENTER, Line, Reply, Turn

SHOWN = 5
"""Causes shown."""


def why(talk: Talk, at: Progress) -> Turn:
    """Return the likeliest causes and the worth of the next step."""
    ranking = talk.counsel.ranking(at.evidence)
    group = {each.id: each for each in ranking.groups}
    body = []
    for cause in ranking.causes[:SHOWN]:
        told = f"{cause.probability:4.0%}  {cause.title}"
        if cause.group in group and group[cause.group].parted_by:
            parting = title_of(talk.subject, group[cause.group].parted_by)
            told += f" (looks like others; parted by: {parting})"
        body.append(Line("item", told))
    body.append(Line("item", f"{ranking.unlisted:4.0%}  something that is not in these files"))
    body.append(Line("note", f"More than one fault at once: {ranking.more_than_one:.0%}."))
    if not at.step or at.doing:
        body += _worth(talk.counsel.advice(at.evidence), at)
    return Turn("why", "Why", "Probably wrong, as far as is known", tuple(body), (_BACK,))


_BACK = Reply(ENTER, "back", view="back")


def _worth(advice: Advice, at: Progress) -> list[Line]:
    if not advice.steps:
        return []
    step, _ = chosen(advice, at)
    others = [s for s in advice.steps if s.id != step.id]
    told = (
        f"Starting with “{step.title}”, about {step.expected_total:.0f} min are expected in all; "
        f"if the causes were known, at least {advice.floor:.0f}."
    )
    lines = [Line("say", told)]
    if others:
        other = others[0]
        lines.append(
            Line("say", f"Next after it: “{other.title}”, {other.expected_total:.0f} min in all.")
        )
    return lines
