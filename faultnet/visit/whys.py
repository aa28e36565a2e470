"""Why this step: what is probably wrong, and what the step is expected to save."""

from faultnet.advice.ranking import Ranking
from faultnet.advice.step import Advice, Step
from faultnet.visit.own_view import hidden, parts
from faultnet.visit.progress import Progress
from faultnet.visit.steps import best
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import BACK, Line, Turn

SHOWN = 5
"""Causes shown."""


def why(talk: Talk, at: Progress) -> Turn:
    """Return the likeliest causes and the worth of the next step."""
    if hidden(at):
        return parts(talk)
    ranking = talk.counsel.ranking(at.evidence)
    body = [_share(cause.probability, cause.title) for cause in ranking.causes[:SHOWN]]
    body.append(_share(ranking.unlisted, "Something that is not in these files"))
    groups = dict.fromkeys(cause.group for cause in ranking.causes[:SHOWN] if cause.group)
    body += [_group(talk, ranking, name) for name in groups]
    body.append(Line("note", f"More than one fault at once: {ranking.more_than_one:.0%}."))
    if not at.step or at.doing:
        step, advice, _ = best(talk, at)
        body += _worth(step, advice)
    return Turn("why", "Why", "Probably wrong, as far as is known", tuple(body), (BACK,))


def _share(share: float, title: str) -> Line:
    return Line("item", title, f"{share:4.0%}")


def _group(talk: Talk, ranking: Ranking, name: str) -> Line:
    group = next(each for each in ranking.groups if each.id == name)
    titles = "; ".join(talk.subject.title(cause) for cause in group.causes)
    return Line("note", f"Alike: {titles}. Parted by: {title_of(talk.subject, group.parted_by)}.")


def _worth(step: Step, advice: Advice) -> list[Line]:
    others = [s for s in advice.steps if s.id != step.id]
    told = (
        f"Starting with “{step.title}”, then mending by rank with no further check: about "
        f"{step.expected_total:.0f} min in all. If the causes were known, {advice.floor:.0f}."
    )
    lines = [Line("say", told)]
    if others:
        other = others[0]
        lines.append(
            Line("say", f"Otherwise “{other.title}”: {other.expected_total:.0f} min in all.")
        )
    return lines
