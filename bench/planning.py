"""Measure how near each way of choosing steps comes to the least expected cost.

Run ``python bench/planning.py``. Problems of the size met in a shop are drawn at random
with fixed seeds, half of them with one fault and half with several; each is solved
exactly, and every rule is followed to the end, whatever the answers, under the true
model. Then problems of a published size are solved exactly.

Rules that look at one number, for comparison:

- probability: the repair that is most likely to end the trouble; no checks.
- probability over cost: the same per minute.
- information gain: the check that is expected to tell most about what is wrong, until
  some repair is at least 80 % sure to end it or no check tells a tenth of a bit; then the
  likeliest repair.
- information gain per minute: the same per minute.
- fixed chart: the same with checks in one order for all, the cheapest first.

All of them give up where the best plan without checks does.
"""

import argparse
import math
import random
import statistics
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import click
import msgspec
import numpy as np
from numpy.typing import NDArray

from faultnet.planning.belief import Belief, start
from faultnet.planning.planner import Deeper, Exact, OneStep, TooLargeError
from faultnet.planning.policy import followed
from faultnet.planning.position import Step
from faultnet.planning.problem import (
    Check,
    Problem,
    Repair,
    SetUp,
    World,
    one_fault,
    several_faults,
)
from faultnet.planning.worlds import Worlds

SURE = 0.8
"""How likely a repair must be to end it before the rules stop checking; judgement."""
TELLS = 0.1
"""Bits that some check must be expected to tell for the rules to go on checking; judgement."""
CAUSES, CHECKS = 8, 10
PUBLISHED_CAUSES, PUBLISHED_CHECKS = 5, 9
PUBLISHED_SECONDS = 97_925
"""Plain backward induction, 3^9 * 2^6 belief states: Xu, Deng & Salado 2022."""
Rule = Callable[[Belief], Step]


class Result(msgspec.Struct):
    """What one problem gave: least cost, and cost and positions met of each rule."""

    several: bool
    least: float
    examined: int
    seconds: float
    costs: dict[str, float]
    met: dict[str, int]


def spread(source: random.Random, low: float, high: float) -> float:
    """Return a number drawn evenly on a logarithmic scale."""
    return math.exp(source.uniform(math.log(low), math.log(high)))


def shop_problem(source: random.Random, *, several: bool) -> Problem:
    """Return a random problem: 8 causes, 10 checks, 6 repairs, 2 set-ups; minutes.

    Two repairs mend two causes each, others may. Checks are noisy-OR of 1 to 4 causes. Repairs
    may fail where one fault is present; with several they are sure.
    """
    faults = [f"cause-{n}" for n in range(CAUSES)]
    common = {fault: spread(source, 0.02, 0.4) for fault in faults}
    share = 1.0 / sum(common.values())
    if several:
        worlds = several_faults({f: min(0.9, 0.84 * share * c) for f, c in common.items()})
    else:
        worlds = one_fault({fault: share * c for fault, c in common.items()})
    set_ups = tuple(
        SetUp(f"set-up-{n}", spread(source, 5, 60), spread(source, 2, 20)) for n in range(2)
    )
    checks = tuple(random_check(source, n, CHECKS, worlds, faults, set_ups) for n in range(CHECKS))
    repairs = []
    for n, fault in enumerate(faults[:6]):
        also = faults[6 + n : 7 + n] or source.sample(faults, k=source.random() < 0.25)
        mends = {
            f: 1.0 if several or n < 2 else source.choice([1.0, source.uniform(0.8, 1.0)])
            for f in (fault, *also)
        }
        on = demanded(source, set_ups, 0.4)
        repairs.append(Repair(f"repair-{n}", spread(source, 10, 240), mends, on))
    return Problem(worlds, checks, tuple(repairs), set_ups, source.uniform(600, 1200))


def published_problem(source: random.Random, kind: str) -> Problem:
    """Return a random problem of the published size: 3^9 sets of answers, 2^6 of repairs."""
    faults = [f"cause-{n}" for n in range(PUBLISHED_CAUSES)]
    chances = {fault: spread(source, 0.05, 0.4) for fault in faults}
    total = sum(chances.values())
    one = {fault: c / total for fault, c in chances.items()}
    worlds = one_fault(one) if kind == "one fault, repairs fail" else several_faults(chances)
    checks = tuple(
        random_check(source, n, PUBLISHED_CHECKS, worlds, faults, ())
        for n in range(PUBLISHED_CHECKS)
    )
    mends = [(fault,) for fault in faults] + [tuple(source.sample(faults, k=2))]
    fail = "fail" in kind
    repairs = tuple(
        Repair(
            f"repair-{n}",
            spread(source, 10, 240),
            {f: source.uniform(0.8, 1.0) if fail else 1.0 for f in of},
        )
        for n, of in enumerate(mends)
    )
    return Problem(worlds, checks, repairs, (), source.uniform(600, 1200))


def random_check(
    source: random.Random,
    number: int,
    of: int,
    worlds: dict[World, float],
    faults: list[str],
    set_ups: tuple[SetUp, ...],
) -> Check:
    """Return a check with two answers, a noisy-OR of 1 to 4 causes; it may spoil others."""
    strengths = {f: source.uniform(0.6, 1.0) for f in source.sample(faults, source.randint(1, 4))}
    leak = source.uniform(0.0, 0.15)
    no = tuple(
        (1.0 - leak) * math.prod(1.0 - strengths.get(f, 0.0) for f in sorted(world))
        for world in worlds
    )
    on = demanded(source, set_ups, 0.3)
    off = tuple(s for s in demanded(source, set_ups, 0.1) if s not in on)
    spoils = tuple(
        f"check-{n}" for n in range(of) if n != number and set_ups and source.random() < 0.03
    )
    answers = {"no": no, "yes": tuple(1.0 - p for p in no)}
    return Check(f"check-{number}", spread(source, 1, 60), answers, on, off, spoils)


def demanded(source: random.Random, set_ups: tuple[SetUp, ...], share: float) -> tuple[str, ...]:
    """Return some of the set-ups, each with the same chance."""
    return tuple(s.id for s in set_ups if source.random() < share)


@dataclass
class Greedy:
    """Rules that look at one number, for the problem of some arrays."""

    worlds: Worlds

    def __post_init__(self) -> None:
        self.ends = 1.0 - self.worlds.left.sum(axis=2)  # repair, world
        self.says = [(says, xlogx(says)) for says in self.worlds.says]

    def mend(self, position: Belief, *, per_minute: bool) -> Step:
        """Return the repair that is likeliest to end it, or the fall-back."""
        steps = position.steps()
        repairs = [step for step in steps if step.kind == "repair"]
        if not repairs or position.repair_only()[0] == "fall-back":
            return steps[-1]
        ends = self.ends @ position.weights
        first = len(self.worlds.checks)
        return max(
            repairs,
            key=lambda r: ends[self.worlds.row[r.id] - first] / (r.price if per_minute else 1.0),
        )

    def look(self, position: Belief, value: Callable[[Belief, Step], float]) -> Step:
        """Return the check of most value until a repair is sure enough; then that repair."""
        free = ~position.key.done >> np.arange(len(self.ends)) & 1 == 1
        if (self.ends[free] @ position.weights >= SURE * position.total).any():
            return self.mend(position, per_minute=False)
        checks = [step for step in position.steps() if step.kind == "check"]
        if max((self.gain(position, check) for check in checks), default=0.0) < TELLS:
            return self.mend(position, per_minute=False)
        return max(checks, key=lambda check: value(position, check))

    def gain(self, position: Belief, check: Step) -> float:
        """Return the bits that a check is expected to tell about which faults are there."""
        says, logs = self.says[self.worlds.row[check.id]]
        shares = position.weights / position.total
        return float((logs @ shares).sum() - xlogx(says @ shares).sum())

    def rules(self) -> dict[str, Rule]:
        """Return the rules by name."""
        costs = {check.id: check.cost for check in self.worlds.checks}
        return {
            "information gain per minute": lambda p: self.look(
                p, lambda q, c: self.gain(q, c) / c.price
            ),
            "information gain": lambda p: self.look(p, self.gain),
            "fixed chart": lambda p: self.look(p, lambda _, c: -costs[c.id]),
            "probability over cost": lambda p: self.mend(p, per_minute=True),
            "probability": lambda p: self.mend(p, per_minute=False),
        }


def xlogx(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return x times the binary logarithm of x, 0 at 0."""
    return values * np.log2(np.where(values > 0.0, values, 1.0))


def measured(budgets: list[int], number: int) -> Result:
    """Return what one problem gives."""
    several = number % 2 == 1
    problem = shop_problem(random.Random(number), several=several)
    began = time.perf_counter()
    exact = Exact().plan(start(problem))
    seconds = time.perf_counter() - began
    result = Result(several, exact.expected, exact.examined, seconds, {}, {})
    rules: dict[str, Rule] = {f"deeper, {n} positions": Deeper(n).first for n in budgets}
    rules |= {"one step": OneStep().first, **Greedy(Worlds(problem)).rules()}
    for name, rule in rules.items():
        result.costs[name], result.met[name] = follow(rule, start(problem))
    return result


def follow(rule: Rule, position: Belief) -> tuple[float, int]:
    """Return the cost of a rule and the number of positions it meets."""
    met = 0

    def counted(position: Belief) -> Step:
        nonlocal met
        met += 1
        return rule(position)

    return followed(counted, position), met


def table(results: list[Result]) -> Iterator[str]:
    """Return the lines of the table of excess over the least expected cost."""
    kinds = (
        ("one fault", [r for r in results if not r.several]),
        ("several", [r for r in results if r.several]),
        ("all", results),
    )
    yield f"{'excess, mean and worst':<30}" + "".join(f"{name:>18}" for name, _ in kinds)
    for name in results[0].costs:
        line = f"{name:<30}"
        for _, chosen in kinds:
            excess = [100.0 * (r.costs[name] / r.least - 1.0) for r in chosen] or [math.nan]
            line += f"{statistics.mean(excess):>9.2f}{max(excess):>7.2f} %"
        yield line + f"{statistics.mean(r.met[name] for r in results):>8.0f} positions met"


def published(number: int, most: int) -> Iterator[str]:
    """Return a line for each problem of the published size."""
    for kind in ("several faults", "one fault, repairs fail", "several faults, repairs fail"):
        for seed in range(number):
            position = start(published_problem(random.Random(seed), kind))
            began = time.perf_counter()
            try:
                plan = Exact(most).plan(position)
                told = f"exact, {plan.expected:8.3f}, {plan.examined:6} positions"
            except TooLargeError as error:
                gap = 100.0 * (1.0 - error.lower / error.upper)
                told = f"stopped at {most} positions with a gap of {gap:.2f} %"
            yield f"{kind:<30} seed {seed}: {told}, {time.perf_counter() - began:6.2f} s"


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--problems", type=int, default=200, help="problems of shop size")
    parser.add_argument("--published", type=int, default=6, help="seeds of the published size")
    parser.add_argument("--most", type=int, default=100_000, help="positions for one of them")
    parser.add_argument("--processes", type=int, default=1, help="of which each needs 1 GB")
    parser.add_argument("--budgets", type=int, nargs="*", default=[40, 80])
    asked = parser.parse_args()
    for line in published(asked.published, asked.most):
        click.echo(line)
    click.echo(f"published for plain backward induction: {PUBLISHED_SECONDS} s\n")
    work = partial(measured, asked.budgets)
    began = time.perf_counter()
    if asked.processes > 1:
        with ProcessPoolExecutor(asked.processes) as pool:
            results = list(pool.map(work, range(asked.problems)))
    else:
        results = list(map(work, range(asked.problems)))
    if results:
        for line in table(results):
            click.echo(line)
        exact = [r.seconds for r in results]
        examined = [r.examined for r in results]
        click.echo(
            f"exact: {statistics.mean(exact):.1f} s and {statistics.mean(examined):.0f} positions"
            f" on average, at most {max(exact):.1f} s and {max(examined)};"
            f" {len(results)} problems,"
            f" {time.perf_counter() - began:.0f} s in all"
        )


if __name__ == "__main__":
    main()
