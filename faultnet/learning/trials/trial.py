"""A trial: the same calls under several policies, in blocks that are the same whoever does them."""

from collections.abc import Iterator
from functools import cache, cached_property, partial
from hashlib import blake2b

import msgspec

from faultnet.advice.subject import Subject
from faultnet.learning.closed import ClosedCase
from faultnet.learning.trials.call import begin
from faultnet.learning.trials.customs import USUAL, Customs
from faultnet.learning.trials.outcome import Outcome
from faultnet.learning.trials.policies.named import policy_of
from faultnet.learning.trials.policy import Policy
from faultnet.learning.trials.replayed import begin_again
from faultnet.learning.trials.visit import Visit
from faultnet.sharing.sharing import Sharing

BLOCK = 8
"""Calls that are done and kept together."""

Span = tuple[int, int]
"""The first call of a block, and the one after its last."""

Calls = list[tuple[Outcome, ...]]
"""For each call what came of it, by policy."""


class Trial(msgspec.Struct, frozen=True, dict=True):
    """So many calls of a seed under policies by their names.

    The policies know ``thinks``, the calls are drawn from ``truth``. With ``recorded`` the
    calls are those cases, in their order, as far as there are so many.
    """

    thinks: Subject
    truth: Subject
    policies: tuple[str, ...]
    calls: int
    seed: int = 0
    customs: Customs = USUAL
    recorded: tuple[ClosedCase, ...] = ()

    @cached_property
    def digest(self) -> str:
        """What tells this trial from others, but for how many calls there are."""
        encode = msgspec.msgpack.encode
        parts = [(s.knowledge, s.system.id, s.network) for s in (self.thinks, self.truth)]
        settings = (self.policies, self.seed, self.customs, self.recorded, BLOCK)
        return blake2b(encode((parts, settings)), digest_size=16).hexdigest()

    @property
    def count(self) -> int:
        """How many calls there are."""
        return min(self.calls, len(self.recorded)) if self.recorded else self.calls

    @property
    def blocks(self) -> list[Span]:
        """The blocks in their order."""
        return [(n, min(n + BLOCK, self.count)) for n in range(0, self.count, BLOCK)]

    def done(self, sharing: Sharing, after: int = 0) -> Iterator[Calls]:
        """Yield block after block, those before ``after`` left out."""
        return sharing.each(partial(_block, self), self.blocks[after:])

    def call(self, number: int) -> tuple[Outcome, ...]:
        """Return what comes of a call, by policy."""
        return tuple(self._under(policy_kept(name), number) for name in self.policies)

    def _under(self, policy: Policy, number: int) -> Outcome:
        if self.recorded:
            begun = begin_again(self.thinks, self.truth, self.recorded[number], self.seed, number)
        else:
            begun = begin(self.thinks, self.truth, self.seed, number, self.customs)
        return Visit(policy, self.thinks, self.truth, begun, self.customs).go()


@cache
def policy_kept(name: str) -> Policy:
    """Return a policy with what it keeps from call to call."""
    return policy_of(name)


def _block(trial: Trial, span: Span) -> Calls:
    return [trial.call(number) for number in range(*span)]
