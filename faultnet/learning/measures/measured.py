"""Closed cases measured: what was believed of each, beside what it was."""

from collections.abc import Iterable
from datetime import datetime
from typing import Protocol

import msgspec

from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.ranking import beliefs_of
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.learning.aside import aside
from faultnet.learning.closed import ClosedCase
from faultnet.learning.fit.fit import places_of
from faultnet.learning.measures.grid import Grid
from faultnet.learning.measures.moments import at_call, before_repair, seen_before, true_causes
from faultnet.learning.measures.parts import parts_needed
from faultnet.learning.measures.ranked import Ranked, Reliability, ranked
from faultnet.learning.measures.reach import in_reach
from faultnet.learning.measures.sums import Details, Group, Sums
from faultnet.learning.measures.times import ByName, Times, step_times, timed
from faultnet.learning.measures.visits import minutes_of_visit, visited
from faultnet.learning.source import Batch, Part, SetAside, Source
from faultnet.learning.span import Span
from faultnet.model.evidence import Evidence
from faultnet.sharing.sharing import Sharing


class Systems(Protocol):
    """Systems by their id."""

    def __getitem__(self, system: str, /) -> Subject:
        """Return a system; raise ``UnknownNameError`` or ``KeyError``."""
        ...


class Asked(msgspec.Struct, frozen=True):
    """What is wanted: of which cases, and which were learnt from.

    Cases that were learnt from are counted and left out, unless ``also_learnt``.
    ``visits`` has the minutes of whole visits predicted too, which takes ten times as long.
    """

    among: Span = Span()
    learnt: tuple[Span, ...] = ()
    also_learnt: bool = False
    visits: bool = False


class NotFittingError(Exception):
    """A case that cannot be measured: a code that is counted by, and the reason."""

    def __init__(self, code: str, reason: str) -> None:
        self.code, self.reason = code, reason
        super().__init__(reason)


def measured(
    subjects: Subject | Systems, source: Source, sharing: Sharing, asked: Asked | None = None
) -> Sums:
    """Return the measures of all cases of a source, the same whoever works them out.

    Raises what the sharing or a part raises.
    """
    return added(sharing.each(Measuring(subjects, asked or Asked()), source.parts()))


def added(parts: Iterable[Sums]) -> Sums:
    """Return the sums over all parts, added in their order."""
    return sum(parts, Sums())


class Measuring:
    """Measures the cases of a part; it can be sent to a process of its own."""

    def __init__(self, subjects: Subject | Systems, asked: Asked) -> None:
        """Keep what is asked of which systems."""
        self._subjects, self._asked = subjects, asked

    def __call__(self, part: Part) -> Sums:
        """Return the sums over a part."""
        batch = part.read()
        return sum(map(self.case, batch.cases, places_of(batch)), self.unread(batch))

    def unread(self, batch: Batch) -> Sums:
        """Return the sums over what could not be read."""
        found = aside(batch.set_aside)
        return Sums(read=found.counts.total(), set_aside=found)

    def case(self, case: ClosedCase, place: str) -> Sums:
        """Return what one case comes to; nothing is raised for what it holds."""
        if not _has_date(case):
            reason = f"it cannot have been closed on `{case.closed}`"
            return _set_aside(case, place, "no-time", reason)
        if not self._asked.among.holds(case):
            return Sums(read=1, outside=1)
        learnt = any(span.holds(case) for span in self._asked.learnt)
        if learnt and not self._asked.also_learnt:
            return Sums(read=1, learnt=1)
        try:
            group, details = _Weighed(self._subject(case), case, self._asked).sums()
        except NotFittingError as error:
            code, reason = error.code, error.reason
        except UnknownNameError as error:
            code, reason = "unknown-id", str(error)
        except UnfitReadingError as error:
            code, reason = "unfit-reading", str(error)
        except TooLargeError as error:
            code, reason = "too-large", str(error)
        else:
            return Sums(
                1,
                int(not case.confirmed),
                int(learnt),
                0,
                group,
                details,
                ByName({case.closed[:7]: group}),
                ByName({case.system: group}),
                ByName({case.region: group} if case.region else {}),
            )
        return _set_aside(case, place, code, reason)

    def _subject(self, case: ClosedCase) -> Subject:
        if not isinstance(self._subjects, Subject):
            try:
                return self._subjects[case.system]
            except KeyError:
                raise UnknownNameError("system", case.system, []) from None
        if case.system != self._subjects.system.id:
            raise NotFittingError("other-system", f"it is about the system `{case.system}`")
        return self._subjects


class _Weighed(msgspec.Struct, frozen=True):
    """One case, put to the knowledge."""

    subject: Subject
    case: ClosedCase
    asked: Asked

    def sums(self) -> tuple[Group, Details]:
        """Return what the case comes to; raise ``NotFittingError`` and what ranking raises."""
        case, knowledge = self.case, self.subject.knowledge
        call, later = at_call(knowledge, case), before_repair(knowledge, case)
        ranked_call, told_call = self._ranked(call, seen=False)
        ranked_later, told_later = self._ranked(later, seen=seen_before(knowledge, case))
        details = Details(told_call, told_later)
        if call is not None:
            known, _ = in_reach(self.subject, call)
            details += Details(parts=self._parts(known), visit=self._visit(known))
        steps = step_times(knowledge, self.subject.system, case)
        return Group(ranked_call, ranked_later, visited(case)), details + Details(steps=steps)

    def _ranked(self, known: Evidence | None, *, seen: bool) -> tuple[Ranked, Reliability]:
        true = true_causes(self.subject.knowledge, self.case)
        if known is None or not true:
            return Ranked(), Reliability()
        for cause in sorted(true - self.subject.causes.keys()):
            raise UnknownNameError("cause", cause, list(self.subject.causes))
        within, left_out = in_reach(self.subject, known)
        beliefs = beliefs_of(self.subject, within)
        if beliefs is None:
            raise NotFittingError("contradicts", "its answers cannot all be true together")
        figures, told = ranked(beliefs, true, seen=seen)
        return figures + Ranked(shortened=int(left_out > 0)), told

    def _parts(self, call: Evidence) -> Grid:
        try:
            return parts_needed(self.subject, self.case, call)
        except ImpossibleEvidenceError:
            raise NotFittingError("contradicts", "its answers cannot all be true") from None

    def _visit(self, call: Evidence) -> Times:
        """The minutes that were priced at the call beside those that the visit took."""
        noted = minutes_of_visit(self.case)
        if not self.asked.visits or noted is None or self.case.by_phone:
            return Times()
        advice = next_steps(self.subject, call)
        if not advice.steps or advice.steps[0].kind == "make-safe":
            return Times()
        return timed(advice.steps[0].expected_total, 0.0, noted)


def _has_date(case: ClosedCase) -> bool:
    try:
        datetime.fromisoformat(case.closed)
    except ValueError:
        return False
    return True


def _set_aside(case: ClosedCase, place: str, code: str, reason: str) -> Sums:
    return Sums(read=1, set_aside=aside([SetAside(place, code, reason, case.id)]))
