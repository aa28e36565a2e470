"""A small trouble written out in full, so that the best plan of all can be found.

This can be done where one fault is at work, layout and circumstances are known, it is
the first round, and the answers of the checks tell of each other only through the fault.
"""

import msgspec

from faultnet.advice.candidates import Candidate
from faultnet.advice.site import demanded
from faultnet.advice.situation import Situation
from faultnet.advice.standing import label
from faultnet.inference.downsets import Expander
from faultnet.inference.query import Query
from faultnet.model.check import Work
from faultnet.network.network import Finding
from faultnet.planning.problem import Check, Problem, Repair, SetUp, one_fault

FAULTS = 40
"""Faults at most; each is a world."""
CHECKS = 12
"""Checks at most; plans grow with the joint answers of all of them."""
ANSWERS = 32
"""Joint answers of a check at most."""


def problem_of(situation: Situation) -> Problem | None:
    """Return the decision problem of a situation; None where it is not small and plain."""
    subject = situation.subject
    faults = {name: p for name, p in situation.beliefs.causes.items() if p > 0.0}
    if not _plain(situation) or len(faults) > FAULTS:
        return None
    worlds = [_World(situation, subject.causes[name]) for name in faults]
    writer = _Writer(situation)
    checks = tuple(writer.check(candidate, worlds) for candidate in situation.possible)
    repairs = tuple(writer.repair(name, faults) for name in situation.screen.prices)
    return Problem(
        one_fault(faults),
        checks,
        tuple(repair for repair in repairs if repair.mends),
        tuple(writer.set_ups.values()),
        situation.specialist,
    )


def _plain(situation: Situation) -> bool:
    network, query = situation.subject.network, situation.query
    candidates = situation.possible
    revealed = [f for c in candidates for f in c.findings]
    told = {d.finding for d in query.draws}
    index = situation.subject.findings
    return (
        network.faults == "one"
        and query.observed.rounds == 1
        and len(query.known) == len(network.roots)
        and not situation.withheld
        and len(candidates) <= CHECKS
        and len(revealed) == len(set(revealed))
        and all(len(c.answers(situation.subject)) <= ANSWERS for c in candidates)
        and not any(told & {index[f]} for f in revealed)
        and all(_alone(network.findings[index[f]]) for f in revealed)
        and not any(c.check.spoils for c in candidates)
        and not situation.state
        and not any(s.requires for s in situation.subject.knowledge.set_ups.values())
    )


def _alone(finding: Finding) -> bool:
    """Whether a finding hangs on causes alone."""
    return not (finding.follows or finding.hidden_by or finding.needs)


class _World:
    """The trouble with one fault at work for certain."""

    def __init__(self, situation: Situation, fault: int) -> None:
        subject = situation.subject
        causes = tuple(
            msgspec.structs.replace(cause, probability=float(k == fault))
            for k, cause in enumerate(subject.network.causes)
        )
        network = msgspec.structs.replace(subject.network, causes=causes)
        findings = [subject.findings[f] for c in situation.possible for f in c.findings]
        self.subject = subject
        self.query = Query(network, situation.query.observed, candidates=findings)
        self.expander = Expander(self.query)
        self.total = self.query.masses().total

    def chances(self, candidate: Candidate) -> list[float]:
        """P(answers | this fault, the evidence), by joint answers of a check."""
        chances = []
        for answers in candidate.answers(self.subject):
            rows = self.expander.rows(candidate.terms(self.subject, self.expander, answers))
            weights = self.query.weigh([row for row, _ in rows])
            weight = sum(c * float(w) for (_, c), w in zip(rows, weights, strict=True))
            chances.append(max(0.0, weight / self.total))
        total = sum(chances)
        return [chance / total for chance in chances]


class _Writer:
    """Writes checks and repairs; whoever must be called is a set-up that steps share."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self.set_ups: dict[str, SetUp] = {}

    def check(self, candidate: Candidate, worlds: list[_World]) -> Check:
        """Return a check with what it answers in every world."""
        work = candidate.check.work
        rows = [world.chances(candidate) for world in worlds]
        answers = candidate.answers(self.situation.subject)
        columns = zip(*rows, strict=True)
        on, off = self._demands(work)
        return Check(
            candidate.check.id,
            work.minutes.value + work.waiting.value * self.situation.prices.share,
            {label(a): tuple(column) for a, column in zip(answers, columns, strict=True)},
            on,
            off,
        )

    def repair(self, name: str, faults: dict[str, float]) -> Repair:
        """Return a repair with the faults that it mends; one that is done succeeds."""
        situation = self.situation
        entry = situation.subject.knowledge.repairs[name]
        causes = situation.subject.network.causes
        mended = [causes[k].id for k in situation.subject.mended_by[name]]
        on, off = self._demands(entry.work)
        mends = {fault: 1.0 for fault in mended if fault in faults}
        return Repair(name, situation.prices.bare(entry), mends, on, off)

    def _demands(self, work: Work) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Set-ups that work wants made and not made; they are written down on the way."""
        knowledge = self.situation.subject.knowledge
        wanted = demanded(work)
        for name in wanted:
            entry = knowledge.set_ups.get(name)
            if entry is not None:
                self.set_ups[name] = SetUp(name, entry.make.value, entry.undo.value)
        on = [name for name, made in wanted.items() if made and name in self.set_ups]
        call = knowledge.rates.calls.get(work.who)
        if call is not None:
            name = f"called:{work.who}"
            self.set_ups[name] = SetUp(name, call.minutes.value)
            on.append(name)
        off = [name for name, made in wanted.items() if not made and name in self.set_ups]
        return tuple(on), tuple(off)
