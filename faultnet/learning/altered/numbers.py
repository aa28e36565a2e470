"""The knowledge with numbers that are not the authored ones.

What a network cannot say (prices, minutes) has to be altered as well as what it can, so it
is the knowledge that is altered, and the network is built from it as ever. Altered are how
common causes are, factors, strengths, rules, leaks, what leads to what, layouts and
circumstances, and the minutes of checks, repairs, proofs and set-ups. Not altered are waits,
which the procedures set, how far whose word can be trusted, how often a repair succeeds, and
the specialist's price, which is agreed.

All causes of the system together stay as common as authored: how many faults there are in a
call is what a firm knows best; with noise on the odds alone there would be more of them, and
the question would be another.
"""

from collections.abc import Mapping

from msgspec.structs import replace

from faultnet.learning.altered.noise import Noise
from faultnet.model.cause import Cause, Shows
from faultnet.model.check import Check, Work
from faultnet.model.condition import When
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.system import System
from faultnet.network.build import UNLISTED, members
from faultnet.network.crossing import crossing

Numbers = tuple[Number, ...]


def altered(knowledge: Knowledge, system: str, noise: Noise) -> Knowledge:
    """Return the knowledge with noise on its numbers; of the systems only this one is altered.

    Raises ``KeyError`` for a system that is not there.
    """
    return _Altering(knowledge, noise).whole(knowledge.systems[system])


class _Altering:
    """Alters entries, each number by its own name."""

    def __init__(self, knowledge: Knowledge, noise: Noise) -> None:
        self.knowledge, self.noise = knowledge, noise

    def whole(self, system: System) -> Knowledge:
        """Return the knowledge."""
        k, noise = self.knowledge, self.noise
        common = self._common(system)
        causes = {c.id: self._cause(c, common) for c in k.causes.values()}
        return replace(
            k,
            version=f"{k.version}-{noise.sigma:g}-{noise.of_minutes:g}-{noise.seed}",
            causes=causes,
            findings={f.id: self._finding(f) for f in k.findings.values()},
            checks={c.id: self._check(c) for c in k.checks.values()},
            repairs={r.id: self._repair(r) for r in k.repairs.values()},
            set_ups={s.id: self._set_up(s) for s in k.set_ups.values()},
            systems={**k.systems, system.id: self._system(system, common[UNLISTED])},
        )

    def _common(self, system: System) -> dict[str, float]:
        """How common each cause is; those of the system as common together as authored."""
        listed = {c.id: c.how_common.value for c in self.knowledge.causes.values()}
        authored = {**listed, UNLISTED: system.unlisted.how_common.value}
        odds = {
            cause: value / (1.0 - value) * self.noise.factor(f"cause/{cause}/how-common")
            for cause, value in authored.items()
            if 0.0 < value < 1.0
        }
        of_system = set(members(self.knowledge, system).causes) & odds.keys()
        total = sum(authored[cause] for cause in sorted(of_system))

        def excess(factor: float) -> float:
            return sum(_chance(odds[cause] * factor) for cause in sorted(of_system)) - total

        ends = 0.0, 1.0
        while excess(ends[1]) < 0.0:
            ends = ends[1], 2.0 * ends[1]
        factor = crossing(excess, *ends)
        return {**authored, **{cause: _chance(o * factor) for cause, o in odds.items()}}

    def _cause(self, cause: Cause, common: Mapping[str, float]) -> Cause:
        name = f"cause/{cause.id}"
        factors = tuple(
            replace(f, factor=self._times(f"{name}/likelier/{f.about}/{f.value}", f.factor))
            for f in cause.likelier_when
        )
        leads = tuple(
            each
            if each.strength is None
            else replace(each, strength=self._one(f"{name}/leads-to/{each.cause}", each.strength))
            for each in cause.leads_to
        )
        return replace(
            cause,
            how_common=_number(cause.how_common, common[cause.id]),
            shows=self._shows(name, cause.shows),
            likelier_when=factors,
            leads_to=leads,
        )

    def _finding(self, finding: Finding) -> Finding:
        name = f"finding/{finding.id}"
        rules = tuple(
            replace(
                each, strength=self._levels(_linked(name, each.finding, each.when), each.strength)
            )
            for each in finding.follows_from
        )
        anyway = self._levels(f"{name}/anyway", finding.shows_anyway)
        return replace(finding, shows_anyway=anyway, follows_from=rules)

    def _system(self, system: System, unlisted: float) -> System:
        name = f"system/{system.id}"
        layout = {
            fact: self._shares(f"{name}/layout/{fact}", priors)
            for fact, priors in system.layout.items()
        }
        circumstances = {
            each: self._one(f"{name}/circumstance/{each}", prior)
            for each, prior in system.circumstances.items()
        }
        common = _number(system.unlisted.how_common, unlisted)
        shows = self._shows(f"{name}/unlisted", system.unlisted.shows)
        entry = replace(system.unlisted, how_common=common, shows=shows)
        return replace(system, layout=layout, circumstances=circumstances, unlisted=entry)

    def _check(self, check: Check) -> Check:
        return replace(check, work=self._work(f"check/{check.id}", check.work))

    def _repair(self, repair: Repair) -> Repair:
        name = f"repair/{repair.id}"
        proof = self._minutes(f"{name}/proof", repair.proof_minutes)
        return replace(repair, work=self._work(name, repair.work), proof_minutes=proof)

    def _set_up(self, set_up: SetUp) -> SetUp:
        name = f"set-up/{set_up.id}"
        make = self._minutes(f"{name}/make", set_up.make)
        return replace(set_up, make=make, undo=self._minutes(f"{name}/undo", set_up.undo))

    def _work(self, name: str, work: Work) -> Work:
        return replace(work, minutes=self._minutes(f"{name}/minutes", work.minutes))

    def _shows(self, name: str, shows: tuple[Shows, ...]) -> tuple[Shows, ...]:
        return tuple(
            replace(
                each, strength=self._levels(_linked(name, each.finding, each.when), each.strength)
            )
            for each in shows
        )

    def _levels(self, name: str, numbers: Numbers) -> Numbers:
        values = self.noise.levels(name, [n.value for n in numbers])
        return tuple(_number(n, value) for n, value in zip(numbers, values, strict=True))

    def _one(self, name: str, number: Number) -> Number:
        return self._levels(name, (number,))[0]

    def _shares(self, name: str, numbers: Mapping[str, Number]) -> dict[str, Number]:
        shares = self.noise.shares(name, {k: n.value for k, n in numbers.items()})
        return {k: _number(n, shares[k]) for k, n in numbers.items()}

    def _times(self, name: str, number: Number) -> Number:
        return _number(number, number.value * self.noise.factor(name))

    def _minutes(self, name: str, number: Number) -> Number:
        return _number(number, number.value * self.noise.on_minutes(name))


def _linked(name: str, finding: str, when: When) -> str:
    """The name of a link: a source may show a finding differently under another layout."""
    layouts = "".join(f"/{k}={','.join(when[k])}" for k in sorted(when))
    return f"{name}/{finding}{layouts}"


def _number(number: Number, value: float) -> Number:
    """The number with another value, which no word stands for."""
    return replace(number, value=value, word="") if value != number.value else number


def _chance(odds: float) -> float:
    return odds / (1.0 + odds)
