"""Numbers estimated from closed cases: the likeliest ones, beside what the files say."""

from collections.abc import Callable, Iterable, Sequence
from math import exp, log

import msgspec

from faultnet.advice.authored import authored
from faultnet.advice.subject import Subject, scale
from faultnet.learning.estimate.counts import Counts, anybody, nobody_calls, nothing
from faultnet.learning.estimate.fitted import Calls, Fitter
from faultnet.learning.estimate.passing import Deep, Passing, portions
from faultnet.learning.estimate.priors import ALL, Kinds, Priors
from faultnet.learning.estimate.scores import Calling
from faultnet.learning.estimate.told import Telling
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.learning.proposed import Proposed
from faultnet.learning.source import Part, SetAside, Source
from faultnet.network.build import build_network, scaled
from faultnet.network.network import Network
from faultnet.network.places import put
from faultnet.sharing.sharing import Here, Sharing


class Rounds(msgspec.Struct, frozen=True):
    """When to stop: after so many passes over the cases, or once one gains too little.

    ``gain`` is in the logarithm of the posterior; ``deep`` is how many cases at most the
    intervals are worked out from, ``holds`` the chance that a number is within its own.
    ``least`` is how many cases at least, as good as seen whole, a number is proposed on that is
    worth up to 20 itself; one that is worth more needs as much more.
    """

    most: int = 12
    gain: float = 0.05
    deep: int = 20_000
    holds: float = 0.9
    least: float = 10.0


class Estimate(msgspec.Struct, frozen=True):
    """What came of some cases.

    ``numbers`` are those that enough cases speak of, ``unsettled`` the count of the others.
    ``log_posterior`` grows from pass to pass, but for what hangs on no number. ``used`` counts
    the cases that were met, ``lightened`` those of them that had more answers than can be met
    exactly, so that the dearest were left out; ``settled`` says whether another pass would have
    gained little.
    """

    numbers: tuple[Proposed, ...]
    unsettled: int
    log_posterior: tuple[float, ...]
    used: int
    set_aside: tuple[SetAside, ...] = ()
    settled: bool = True
    lightened: int = 0


def estimate(
    subject: Subject,
    source: Source,
    sharing: Sharing | None = None,
    kinds: Kinds = ALL,
    priors: Priors | None = None,
    rounds: Rounds | None = None,
    passed: Callable[[float], None] = lambda _gain: None,
) -> Estimate:
    """Return the likeliest numbers of a system, by expectation-maximisation.

    Every pass meets each case once; ``passed`` hears what each gained. The result is the same
    bit for bit whoever shares the work. Nothing is raised for what a case holds.
    """
    unknowns = Unknowns(subject, kinds, priors or Priors())
    return _Estimating(unknowns, portions(source), sharing or Here(), rounds or Rounds()).run(
        passed
    )


def learnt(subject: Subject, numbers: Iterable[Proposed]) -> Subject:
    """Return the system with proposed numbers in the place of the authored ones.

    The factor s is worked out anew. Only the network changes: the entries of the knowledge
    keep what is written.
    """
    values = {each.number: each.value for each in numbers}
    places = {
        place: values[each.number]
        for each in authored(subject)
        if each.number in values
        for place in each.places
    }
    network = put(build_network(subject.knowledge, subject.system), places)
    network = scaled(network, scale(network, subject.system))
    return Subject(subject.knowledge, subject.system, network)


class _Estimating:
    """One run: passes over the parts until the numbers settle."""

    def __init__(
        self, unknowns: Unknowns, parts: Sequence[Part], sharing: Sharing, rounds: Rounds
    ) -> None:
        self.unknowns, self.parts, self.sharing, self.rounds = unknowns, parts, sharing, rounds
        self.set_aside: tuple[SetAside, ...] = ()
        self.lightened = 0
        self.fitter = Fitter(unknowns)

    def run(self, passed: Callable[[float], None]) -> Estimate:
        network, trace = self.unknowns.network, list[float]()
        settled = False
        while True:
            met, _ = self._pass(Passing(self.unknowns, network), self.parts)
            calling = self.calling(network)
            trace.append(self._log_posterior(network, met, calling))
            gain = trace[-1] - trace[-2] if len(trace) > 1 else float("inf")
            passed(gain)
            settled = gain < self.rounds.gain
            if settled or len(trace) > self.rounds.most or not met.cases:
                break
            unseen = calling.nobody * (calling.sites * met.cases)
            network = self.fitter.fitted(network, Calls(met, unseen))
        calls = Calls(met, calling.nobody * (calling.sites * met.cases))
        telling = self._telling(network, calls, calling)
        numbers, unsettled = telling.numbers() if met.cases else ((), len(self.unknowns.all))
        used, aside = int(met.cases), self.set_aside
        return Estimate(numbers, unsettled, tuple(trace), used, aside, settled, self.lightened)

    def _pass(self, passing: Passing, parts: Sequence[Part]) -> tuple[Counts, Deep | None]:
        total, deep = nothing(self.unknowns.slots), None
        aside: list[SetAside] = []
        lightened = 0
        for told in self.sharing.each(passing, parts):
            total = total + told.counts
            aside += told.set_aside
            lightened += told.lightened
            if told.deep is not None:
                deep = told.deep if deep is None else deep + told.deep
        if passing.calling is None:
            self.set_aside, self.lightened = tuple(aside), lightened
        return total, deep

    def calling(self, network: Network) -> Calling:
        """What is known before a case is looked at."""
        if network.faults == "several":
            nobody = nobody_calls(self.unknowns.slots, network)
            none = exp(nobody.log)
            return Calling(none / (1.0 - none), nobody)
        return Calling(1.0, anybody(self.unknowns.slots, network))

    def _log_posterior(self, network: Network, met: Counts, calling: Calling) -> float:
        whole = calling.nobody.log
        if network.faults == "several":
            whole = -log(1.0 + calling.sites)
        return float(met.log - met.cases * whole + self.fitter.log_prior(network))

    def _telling(self, network: Network, calls: Calls, calling: Calling) -> Telling:
        """The pass that works out how sure the numbers are; on some of the parts, evenly."""
        each = max(1.0, calls.met.cases / max(1, len(self.parts)))
        step = max(1, round(len(self.parts) * each / self.rounds.deep))
        passing = Passing(self.unknowns, network, calling)
        some, deep = self._pass(passing, self.parts[::step])
        assert deep is not None or not self.parts
        return Telling(
            passing, self.fitter, calls, deep, some.cases, self.rounds.holds, self.rounds.least
        )
