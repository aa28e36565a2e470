"""Work that opens something live, and dangers with nothing to say: never accepted."""

import re
from collections.abc import Iterator, Sequence

from faultnet.authoring.lint.grade import words
from faultnet.authoring.lint.wording import negated
from faultnet.authoring.problem import Problem, warning
from faultnet.authoring.rules.safe_work import LOCKED, site_of, with_required
from faultnet.authoring.texts import Placed
from faultnet.model.check import Check, Work
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy
from faultnet.model.procedure import Procedure
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp

FEWEST_WORDS = 4
"""Words below which advice in danger tells nobody what to do (judgement)."""
_OPENS = re.compile(
    r"\b(?:take|lift|unscrew|undo|remove|open|loosen|pull|slacken|unbolt|prise)(?:s|ing)?"
    # What stands between is not about something else, and not about a lid that covers no wire.
    r"(?:\s+(?!(?:nothing|no|while|until|look|see|read|feel|watch|at|from|near|note|photo|picture"
    r"|toilet|filter|meter|tank|well|cistern|hatch|heater)\b)[\w-]+){0,6}?"
    r"\s+(?:covers?(?!\s+of\s+the\s+(?:cistern|well|meter|tank))|priming\s+(?:plug|port|cap)|plug\s+out"
    r"|ports?|casing|unions?|flanges?|(?:terminal|switch|control|junction)\s+box(?:es)?)\b",
    re.IGNORECASE,
)
_DEAD = re.compile(
    r"\block(?:ed|s)?(?:\s+(?:it|(?:the\s+)?(?:power|pump|supply|breaker)))?[\s-]+out\b",
    re.IGNORECASE,
)


def dangers(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield texts that open something with the power not locked out, and silent dangers."""
    for entity, origin, text in _live(knowledge):
        message = f'Something is opened with the power not locked out: "{text}".'
        hint = f"Require {LOCKED}, or say in an earlier step that the power is locked out."
        yield warning("opened-live", entity, origin, message, hint)
    yield from _silent(knowledge)


def _silent(knowledge: Knowledge) -> Iterator[Problem]:
    for finding in knowledge.findings.values():
        for danger in finding.dangers:
            if len(words(danger.say)) < FEWEST_WORDS:
                message = f"At `{danger.answer}` nobody is told what to do: `say` is too short."
                hint = "Say what to switch off, what to keep away from, and what not to touch."
            elif not danger.send:
                message = f"At `{danger.answer}` nothing says whom to send."
                hint = "Add `send: ...`: a technician, a licensed electrician, the fire service."
            else:
                continue
            yield warning("danger-without-advice", finding.id, finding.origin, message, hint)


def _live(knowledge: Knowledge) -> Iterator[Placed]:
    jobs: tuple[Check | Repair, ...] = (*knowledge.checks.values(), *knowledge.repairs.values())
    for job in jobs:
        ruled = job.work.opens in ("cover", "port", "pipe") or job.work.who == "qualified"
        if not ruled and not _locked(job.work, knowledge) and (text := _opening(job.work.steps)):
            yield job.id, job.origin, text
    for set_up in knowledge.set_ups.values():
        ruled = set_up.who == "qualified" or LOCKED in with_required([set_up.id], knowledge)
        if not ruled and (text := _opening(set_up.steps)):
            yield set_up.id, set_up.origin, text
    done_by = NamedBy(knowledge).done_by
    for procedure in knowledge.procedures.values():
        works = [each.work for each in done_by.get(procedure.id, ()) if not isinstance(each, SetUp)]
        ruled = bool(works) and all(_locked(work, knowledge) for work in works)
        if not ruled and (text := _opening(_until_locked(procedure))):
            yield procedure.id, procedure.origin, text


def _locked(work: Work, knowledge: Knowledge) -> bool:
    return work.power == "locked-out" or LOCKED in site_of(work, knowledge)


def _until_locked(procedure: Procedure) -> Sequence[str]:
    """Return what is done while the power is not locked out, what must be so before it first."""
    live, texts = True, [*procedure.before]
    for step in procedure.steps:
        live = not step.set_ups.get(LOCKED, not live)
        texts += [step.do] if live else []
    return texts


def _opening(steps: Sequence[str]) -> str:
    """Return the first words that open something before the power is locked out."""
    for step in steps:
        found, dead = _OPENS.search(step), _DEAD.search(step)
        locks = dead is not None and not negated(step[: dead.start()])
        first = dead.start() if dead is not None and locks else len(step)
        if found and found.start() < first and not negated(step[: found.start()]):
            return found[0]
        if locks:
            return ""
    return ""
