"""One question about a finding, a circumstance or the layout, and its answers."""

from faultnet.cases.events import AnyEvent, NotKnown, Told
from faultnet.model.finding import CANNOT
from faultnet.visit.progress import Progress
from faultnet.visit.readings import readings_about
from faultnet.visit.talk import Talk
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.turn import Line, Reply, Turn, numbered

YES_NO = ("no", "yes")


def question(talk: Talk, at: Progress, about: str, heading: str) -> Turn:
    """Return the turn that asks about something."""
    replies = (
        _about_root(talk, about) if about in talk.subject.roots else _about_finding(talk, about)
    )
    lines = _dangers(talk, about)
    not_known = Reply("?", "don't know", NotKnown(about))
    wording = talk.wording(at, about)
    return Turn("question", heading, wording, lines, (*replies, not_known))


def picked(talk: Talk, at: Progress) -> Turn | None:
    """Return the question about what was picked, if anything was."""
    if not at.picked:
        return None
    return question(talk, at, at.picked, title_of(talk.subject, at.picked))


def _about_root(talk: Talk, about: str) -> tuple[Reply, ...]:
    states = talk.subject.network.roots[talk.subject.roots[about]].states
    if states == YES_NO:
        return _yes_no(about)
    possible = talk.subject.system.layout.get(about, {})
    return _choice(talk, about, tuple(s for s in states if possible[s].value > 0.0))


def _about_finding(talk: Talk, about: str) -> tuple[Reply, ...]:
    finding = talk.finding(about)
    if finding.answers == YES_NO:
        replies = _yes_no(about)
    else:
        replies = _choice(talk, about, finding.answers)
        if len(finding.answers) > 2:
            told = Told(about, "yes")
            replies = (*replies, Reply("y", "yes, but not which of them", told))
    if finding.needs:
        replies = (*replies, Reply("c", "cannot be taken", Told(about, CANNOT)))
    return (*replies, *_measured(talk, about))


def _measured(talk: Talk, about: str) -> tuple[Reply, ...]:
    found = readings_about(talk, about)
    if len(found) > 1:
        return (Reply("m", "measured", view=f"readings:{about}"),)
    return tuple(
        Reply("m", f"measured: {', '.join(each.required)}", view=f"reading:{each.id}")
        for each in found
    )


def _yes_no(about: str) -> tuple[Reply, ...]:
    return (Reply("y", "yes", Told(about, "yes")), Reply("n", "no", Told(about, "no")))


def _choice(talk: Talk, about: str, answers: tuple[str, ...]) -> tuple[Reply, ...]:
    labels: dict[str, AnyEvent] = {
        answer_said(talk.subject, about, answer): Told(about, answer) for answer in answers
    }
    return numbered(labels)


def _dangers(talk: Talk, about: str) -> tuple[Line, ...]:
    finding = talk.subject.knowledge.findings.get(about)
    if finding is None or not finding.dangers:
        return ()
    return (Line("caution", "A yes stops everything until it is made safe."),)
