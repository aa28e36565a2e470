"""Findings: how they are asked, what they mean, what shows them, and what a word is worth."""

from faultnet.handbook.teller import Teller, listed, noted
from faultnet.model.finding import Finding
from faultnet.model.in_words import plain
from faultnet.writing.document import Bullets, Paragraph, Section, Text


def finding_section(t: Teller, finding: Finding) -> Section:
    """Return the section of a finding: its danger first."""
    fitful = t.say("finding.fitful") if finding.fitful else ""
    history = t.say("finding.history") if finding.history else ""
    notes = noted(finding.note, t.only(finding.only_when), fitful, history)
    return Section(
        finding.title,
        (*t.dangers(finding), *notes),
        f"findings/{finding.id}",
        (
            *t.asked(finding),
            Section(t.say("finding.answers"), (Bullets(tuple(_answers(t, finding))),)),
            *listed(t.say("finding.words"), finding.words),
            _causes(t, finding),
            *_among_findings(t, finding),
            *_told_by(t, finding),
        ),
    )


def _answers(t: Teller, finding: Finding) -> list[Text]:
    normal, *others = finding.answers
    return [
        t.say("finding.normal", answer=plain(normal)),
        *(t.say("finding.abnormal", answer=plain(answer)) for answer in others),
    ]


def _causes(t: Teller, finding: Finding) -> Section:
    shown = sorted(
        t.by.shown_by.get(finding.id, ()), key=lambda pair: -sum(n.value for n in pair[1].strength)
    )
    items = tuple(t.shown(cause, finding, s.strength, s.when) for cause, s in shown)
    first = Bullets(items) if items else Paragraph(t.say("finding.no-causes"))
    anyway = (f"{t.say('finding.anyway')}: ", *t.strengths(finding, finding.shows_anyway))
    return Section(t.say("finding.causes"), (first, Paragraph(anyway)))


def _among_findings(t: Teller, finding: Finding) -> list[Section]:
    known = t.known.findings
    follows = [
        t.shown(known[rule.finding], finding, rule.strength, rule.when)
        for rule in finding.follows_from
    ]
    followed = [
        t.shown(other, other, rule.strength, rule.when)
        for other, rule in t.by.followed_by.get(finding.id, ())
    ]
    return [
        *listed(t.say("finding.follows"), follows),
        *listed(t.say("finding.followed"), followed),
        *listed(t.say("finding.hidden"), [(t.to(known[each]),) for each in finding.hidden_by]),
        *listed(t.say("finding.needs"), map(t.about, finding.needs)),
    ]


def _told_by(t: Teller, finding: Finding) -> list[Section]:
    checks = [
        (t.to(check), ": ", *t.told("number.minutes", check.work.minutes))
        for check in t.by.revealed_by.get(finding.id, ())
    ]
    readings = [(t.to(each),) for each in t.by.read_by.get(finding.id, ())]
    trust = [Section(t.say("finding.trust"), (t.trusts(finding.trust),))] if finding.trust else []
    return [
        *listed(t.say("finding.checks"), checks),
        *listed(t.say("finding.readings"), readings),
        *trust,
    ]
