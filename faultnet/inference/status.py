"""What each finding is to a query in each round: settled, tracked or free.

``OFF``: known normal with all that could hide it known off, so its causes must keep
quiet about it; it needs no axis. ``TRACK``: needs an axis. Free findings (absent from
the result) are not part of the evidence and not needed by it.
"""

from collections.abc import Iterable

from faultnet.inference.observed import Observed
from faultnet.network.network import Condition, Finding, Network

OFF = 0
TRACK = 1

Key = tuple[int, int]


class Statuses:
    """Status by (finding, round), and the likelihoods that remain to be applied.

    ``impossible`` is set when a finding is wanted abnormal and normal at once: its
    answer says so, and that of a finding that it hides or withholds.
    """

    def __init__(self, network: Network, observed: Observed, states: dict[int, int]) -> None:
        """``states`` holds the roots whose state is known."""
        self.network = network
        self.known = states
        self.rounds = observed.rounds
        self.likelihood: dict[Key, tuple[float, ...]] = dict(observed.findings)
        self.of: dict[Key, int] = {}
        self._assert_unhidden()
        self.impossible = any(not any(x) for x in self.likelihood.values())
        self._settle()
        self._add_parents()

    def track(self, findings: Iterable[int], round_: int) -> None:
        """Track further findings in a round, and whatever they depend on."""
        for finding in findings:
            self.of.setdefault((finding, round_), TRACK)
        self._add_parents()

    def follows(self, finding: Finding) -> list[int]:
        """Return the findings that one follows from under what is known of the roots."""
        return [link.source for link in finding.follows if self.possible(link.when)]

    def possible(self, condition: Condition) -> bool:
        """Whether a condition can hold, given the known roots."""
        return all(allowed[self.known[r]] for r, allowed in condition if r in self.known)

    def _assert_unhidden(self) -> None:
        for index in range(len(self.network.findings) - 1, -1, -1):
            finding = self.network.findings[index]
            for round_ in range(self.rounds):
                likelihood = self.likelihood.get((index, round_))
                if likelihood is None:
                    continue
                takeable = not finding.needs or likelihood[-1] == 0.0
                if takeable:
                    self._require_normal(finding.needs, round_)
                if takeable and likelihood[0] == 0.0:
                    self._require_normal(finding.hidden_by, round_)

    def _require_normal(self, findings: tuple[int, ...], round_: int) -> None:
        for index in findings:
            finding = self.network.findings[index]
            size = len(finding.answers)
            old = self.likelihood.get((index, round_), (1.0,) * size)
            self.likelihood[index, round_] = (old[0], *(0.0,) * (size - 1))

    def _settle(self) -> None:
        for index, finding in enumerate(self.network.findings):
            for round_ in range(self.rounds):
                likelihood = self.likelihood.get((index, round_))
                if likelihood is None:
                    continue
                self.of[index, round_] = self._status(finding, round_, likelihood)

    def _status(self, finding: Finding, round_: int, likelihood: tuple[float, ...]) -> int:
        gates = (*finding.hidden_by, *finding.needs)
        settled = all(self.of.get((g, round_)) == OFF for g in gates)
        return OFF if settled and not any(likelihood[1:]) else TRACK

    def _add_parents(self) -> None:
        for index in range(len(self.network.findings) - 1, -1, -1):
            finding = self.network.findings[index]
            for round_ in range(self.rounds):
                status = self.of.get((index, round_))
                if status is None:
                    continue
                parents = self.follows(finding)
                if status == TRACK:
                    parents += [*finding.hidden_by, *finding.needs]
                for parent in parents:
                    self.of.setdefault((parent, round_), TRACK)
