"""From what people said and measured to likelihoods on the network."""

from collections.abc import Mapping

from faultnet.advice.readings import Likelihood, likelihoods, outcomes
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.inference.observed import BroughtIn, Mend, Observed
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.model.finding import CANNOT, Danger, Finding

SUREST_FIRST = ("technician", "caller")
"""Speakers, the surer one first: where both answered, the surer one counts."""


def observe(subject: Subject, evidence: Evidence) -> Observed:
    """Return the evidence as the engine takes it.

    Raises ``UnknownNameError`` for ids and answers, ``UnfitReadingError`` for readings.
    """
    findings: dict[tuple[int, int], Likelihood] = {}
    for number, round_ in enumerate(evidence.rounds):
        for answer in counted(round_):
            index = find(subject, answer.finding)
            findings[index, number] = said(subject, answer)
        for taken in round_.taken:
            for finding, likelihood in read(subject, taken, evidence.layout).items():
                findings[find(subject, finding), number] = likelihood
    return Observed(
        len(evidence.rounds),
        _roots(subject, evidence),
        findings,
        _mends(subject, evidence),
        _brought_in(subject, evidence),
        tuple(
            (find(subject, finding), number + 1)
            for number, round_ in enumerate(evidence.rounds[:-1])
            for finding in round_.redraws
        ),
        frozenset(
            find(subject, answer.finding)
            for answer in evidence.now.answers
            if dangers_of(subject.knowledge.findings[answer.finding], answer.answer)
        ),
    )


def counted(round_: Round) -> list[Answer]:
    """The answers of a round that count: per finding the surest speaker's last one."""
    best: dict[str, Answer] = {}
    for answer in round_.answers:
        held = best.get(answer.finding)
        if held is None or _sureness(answer) >= _sureness(held):
            best[answer.finding] = answer
    return list(best.values())


def find(subject: Subject, finding: str) -> int:
    """Return the index of a finding, or raise ``UnknownNameError``."""
    index = subject.findings.get(finding)
    if index is None:
        raise UnknownNameError("finding", finding, list(subject.findings))
    return index


def levels_of(finding: Finding, answer: str) -> tuple[int, ...]:
    """Return the answer indices that an answer stands for (``yes``: all abnormal ones)."""
    if answer in finding.all_answers:
        return (finding.all_answers.index(answer),)
    if answer == "no":
        return (0,)
    if answer == "yes":
        return tuple(range(1, len(finding.answers)))
    known = list(dict.fromkeys((*finding.all_answers, "yes", "no")))
    raise UnknownNameError(f"answer to {finding.id}", answer, known)


def dangers_of(finding: Finding, answer: str) -> tuple[Danger, ...]:
    """The dangers that an answer tells of, whoever gave it."""
    given = {k for k in levels_of(finding, answer) if k < len(finding.answers)}
    return tuple(d for d in finding.dangers if given & set(levels_of(finding, d.answer)))


def said(subject: Subject, answer: Answer) -> Likelihood:
    """P(this is said | each true answer), the true answer ``cannot`` last where it exists."""
    return subject.once(answer, lambda: _said(subject, answer))


def _said(subject: Subject, answer: Answer) -> Likelihood:
    finding = subject.knowledge.findings[answer.finding]
    levels = levels_of(finding, answer.answer)
    if levels == (len(finding.answers),):
        return tuple(float(a == CANNOT) for a in finding.all_answers)
    hit, false_alarm = trust(subject, finding, answer.speaker)
    abnormal = range(1, len(finding.answers))
    if 0 in levels:
        chances = [1.0 - false_alarm, *(1.0 - hit for _ in abnormal)]
    else:
        share = len(levels) / len(abnormal)
        others = (1.0 - hit) / len(abnormal)
        chances = [false_alarm * share, *(hit if k in levels else others for k in abnormal)]
    return (*chances, 0.0) if finding.needs else tuple(chances)


def trust(subject: Subject, finding: Finding, speaker: str) -> tuple[float, float]:
    """P(said | so) and P(said | not so) of a speaker on a finding."""
    words = subject.knowledge.words.trust
    entry = finding.trust.get(speaker) or words.get(speaker)
    if entry is None:
        raise UnknownNameError("speaker", speaker, list(words))
    return entry.hit.value, entry.false_alarm.value


def read(subject: Subject, taken: Taken, layout: Mapping[str, str]) -> dict[str, Likelihood]:
    """Return the findings a reading speaks about, each with the likelihood of its answers.

    Raises ``UnknownNameError`` and ``UnfitReadingError``; see ``advice.readings``.
    """
    reading = subject.knowledge.readings.get(taken.reading)
    if reading is None:
        raise UnknownNameError("reading", taken.reading, list(subject.knowledge.readings))
    for part in taken.parts:
        if part not in reading.takes:
            raise UnknownNameError(f"part of reading {reading.id}", part, list(reading.takes))
    answers = {name: subject.knowledge.findings[name].answers for name in reading.findings}
    chances = outcomes(reading, subject.system, taken.parts, layout)
    return {
        name: (*likelihood, 0.0) if subject.knowledge.findings[name].needs else likelihood
        for name, likelihood in likelihoods(reading, chances, answers).items()
    }


def _sureness(answer: Answer) -> int:
    speaker = answer.speaker
    return -SUREST_FIRST.index(speaker) if speaker in SUREST_FIRST else -len(SUREST_FIRST)


def _roots(subject: Subject, evidence: Evidence) -> dict[int, Likelihood]:
    result: dict[int, Likelihood] = {}
    for layout, value in evidence.layout.items():
        if layout not in subject.system.layout:
            raise UnknownNameError("layout", layout, list(subject.system.layout))
        known = subject.knowledge.layouts[layout].values
        if value not in [v.id for v in known]:
            raise UnknownNameError(f"value of {layout}", value, [v.id for v in known])
        index = subject.roots[layout]
        result[index] = tuple(float(s == value) for s in subject.network.roots[index].states)
    for circumstance, held in evidence.circumstances.items():
        if circumstance not in subject.system.circumstances:
            known_ids = list(subject.system.circumstances)
            raise UnknownNameError("circumstance", circumstance, known_ids)
        result[subject.roots[circumstance]] = (0.0, 1.0) if held else (1.0, 0.0)
    return result


def _repairs(subject: Subject, evidence: Evidence) -> list[tuple[int, str]]:
    result = []
    for number, round_ in enumerate(evidence.rounds[:-1]):
        for repair in round_.repairs:
            if repair not in subject.knowledge.repairs:
                raise UnknownNameError("repair", repair, list(subject.knowledge.repairs))
            result.append((number, repair))
    return result


def _mends(subject: Subject, evidence: Evidence) -> tuple[Mend, ...]:
    return tuple(
        Mend(cause, number, subject.knowledge.repairs[repair].succeeds.value)
        for number, repair in _repairs(subject, evidence)
        for cause in subject.mended_by.get(repair, ())
    )


def _brought_in(subject: Subject, evidence: Evidence) -> tuple[BroughtIn, ...]:
    return tuple(
        BroughtIn(subject.causes[cause], number, chance.value)
        for number, repair in _repairs(subject, evidence)
        for cause, chance in subject.knowledge.repairs[repair].brings.items()
        if cause in subject.causes
    )
