"""Measure the full answer on published networks, against pyAgrum and pgmpy.

Run ``python bench/networks.py`` (needs pyAgrum, which nothing else here does). The full
answer: beliefs of all causes, and for every answer of every candidate its chance and the
beliefs of all causes after it. Causes are the variables without parents, candidates all
others that are not observed. A few variables without children are observed, in states
drawn with a seed out of the network itself, so that the evidence is possible.

Every engine answers the same sets of evidence, one after the other. Medians of processor
seconds are compared, each engine on one thread, so that a busy machine does not matter
much. Engines are made and have answered once before the clock runs (``first`` is what that
takes here); all sets observe the same variables, in other states.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy

import argparse
import contextlib
import gc
import signal
import statistics
import time
import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any, TypeAlias

import click
import numpy as np

from faultnet.inference import compile_network
from faultnet.inference.clique_tree import Answers
from faultnet.inference.engine import Beliefs, Candidate, Engine
from faultnet.network.pgmpy_model import pgmpy_model, tables_of
from faultnet.network.tables import Array, Tables

Ours: TypeAlias = tuple[Beliefs, dict[Candidate, Answers]]
"""The beliefs as they are, and what every answer would make of them."""
Peers: TypeAlias = tuple[
    dict[str, Array], dict[str, Array], dict[tuple[str, str], dict[str, Array]]
]
"""The beliefs, the chances of answers, and the beliefs after each, states in order."""

NETWORKS = ("alarm", "child", "insurance", "hailfinder", "hepar2", "andes")
OBSERVED = 4
CLOSE = 1e-8
"""How far the engines may be apart."""
ASKED_OF_PGMPY = 6
"""Hypotheticals that pgmpy is asked a round; all others are taken to last as long."""
PATIENCE = 60
"""Seconds that an engine of pgmpy may take in all."""
RARELY = 100_000
"""New objects between collections, as in the program itself."""


@dataclass(frozen=True)
class Asked:
    """A network with what is asked of it; ``rounds`` holds evidence on the same variables."""

    name: str
    tables: Tables
    causes: list[str]
    candidates: list[str]
    rounds: list[dict[str, str]]

    @property
    def hypotheticals(self) -> list[tuple[str, str]]:
        """Every candidate with every answer."""
        states = {v.id: v.states for v in self.tables.variables}
        return [(c, s) for c in self.candidates for s in states[c]]


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("names", nargs="*", default=NETWORKS, help="networks out of pgmpy")
    parser.add_argument("--rounds", type=int, default=9, help="evidence sets of each")
    parser.add_argument("--no-pgmpy", action="store_true", help="leave the slowest peer out")
    given = parser.parse_args()
    gc.set_threshold(RARELY)
    click.echo(
        f"{'':<11}{'what-ifs':>9}{'faultnet':>11}{'first':>9}"
        f"{'pyAgrum':>11}{'by':>8}{'ratio':>8}{'pgmpy':>12}{'by':>5}{'ratio':>9}{'apart':>9}"
    )
    for name in given.names:
        report(asked_of(name, given.rounds), with_pgmpy=not given.no_pgmpy)


def asked_of(name: str, rounds: int) -> Asked:
    """Return a network out of pgmpy's collection, and evidence on it."""
    from pgmpy.utils import get_example_model

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        tables = tables_of(get_example_model(name))
    rng = np.random.default_rng(1)
    parents = {p for v in tables.variables for p in v.parents}
    leaves = [v.id for v in tables.variables if v.parents and v.id not in parents]
    seen = [str(v) for v in rng.choice(leaves, OBSERVED, replace=False)]
    return Asked(
        name,
        tables,
        [v.id for v in tables.variables if not v.parents],
        [v.id for v in tables.variables if v.parents and v.id not in seen],
        [{v: world[v] for v in seen} for world in (drawn(tables, rng) for _ in range(rounds))],
    )


def drawn(tables: Tables, rng: np.random.Generator) -> dict[str, str]:
    """Return a state of every variable, drawn out of the network."""
    places: dict[str, int] = {}
    for variable in tables.variables:
        row = variable.chances[tuple(places[p] for p in variable.parents)]
        places[variable.id] = int(rng.choice(len(row), p=row))
    return {v.id: v.states[places[v.id]] for v in tables.variables}


def report(asked: Asked, *, with_pgmpy: bool) -> None:
    """Measure one network and print its line."""
    start = time.process_time()
    ours = compile_network(asked.tables)
    mine = Timed(lambda e: faultnet_answer(ours, asked, e), asked.rounds[0])
    first = time.process_time() - start
    peers = {
        kind: Timed(agrum_answer(asked, kind), asked.rounds[0])
        for kind in ("LazyPropagation", "ShaferShenoyInference", "VariableElimination")
        if not (asked.name == "andes" and kind == "VariableElimination")  # a minute a round
    }
    slow = [Pgmpy(asked, kind) for kind in ("VE", "BP")] if with_pgmpy else []
    apart = 0.0
    told = [mine(evidence) for evidence in asked.rounds]
    for peer in peers.values():
        answers = [peer(evidence) for evidence in asked.rounds]
        apart = max(apart, *map(distance, told, answers))
    for evidence, answer in zip(asked.rounds, told, strict=True):
        apart = max(apart, *(peer(evidence, answer) for peer in slow), 0.0)
    kind, best = min(peers.items(), key=lambda pair: pair[1].median)
    line = (
        f"{asked.name:<11}{len(asked.hypotheticals):>9}{1000 * mine.median:>8.2f} ms"
        f"{1000 * first:>6.0f} ms{1000 * best.median:>8.1f} ms"
        f"{kind.removesuffix('Inference')[:6]:>8}{best.median / mine.median:>8.1f}"
    )
    if slow:
        slowest = min(slow, key=lambda each: each.median)
        ratio = slowest.median / mine.median
        line += f"{slowest.median:>10.2f} s{slowest.kind:>5}{ratio:>9.0f}"
    click.echo(line + f"{apart:>9.0e}")
    if apart > CLOSE:
        raise SystemExit(f"{asked.name}: the engines disagree by {apart:.1e}")


class Timed:
    """A way to answer, with the seconds that it took; the first time is not counted."""

    def __init__(self, answer: Callable[[dict[str, str]], Any], evidence: dict[str, str]) -> None:
        self.answer = answer
        self.seconds: list[float] = []
        answer(evidence)

    def __call__(self, evidence: dict[str, str]) -> Any:
        """Answer, and keep how long it took."""
        start = time.process_time()
        told = self.answer(evidence)
        self.seconds.append(time.process_time() - start)
        return told

    @property
    def median(self) -> float:
        """Seconds in the middle."""
        return statistics.median(self.seconds)


def faultnet_answer(engine: Engine, asked: Asked, evidence: dict[str, str]) -> Ours:
    """Return beliefs and what-ifs as faultnet gives them; ``()`` asks for the beliefs."""
    told = engine.what_if(evidence, asked.causes, [(), *asked.candidates])
    return told.pop(())[()][1], told


def agrum_answer(asked: Asked, kind: str) -> Callable[[dict[str, str]], Peers]:
    """Return how pyAgrum answers: only causes as targets, one changed evidence at a time.

    The engine keeps its tree between hypotheticals; a candidate's evidence is added once
    and then changed, which lets it update instead of starting anew.
    """
    pyagrum: Any = import_module("pyagrum")
    pyagrum.setNumberOfThreads(1)
    network = agrum_network(asked.tables)
    engine = getattr(pyagrum, kind)(network)
    for cause in asked.causes:
        engine.addTarget(cause)
    # The chances of answers are wanted too; a second engine has the candidates as targets.
    answers = getattr(pyagrum, kind)(network)
    for candidate in asked.candidates:
        answers.addTarget(candidate)
    states = {v.id: v.states for v in asked.tables.variables}

    def answer(evidence: dict[str, str]) -> Peers:
        engine.setEvidence(evidence)
        engine.makeInference()
        before = {c: engine.posterior(c).toarray() for c in asked.causes}
        answers.setEvidence(evidence)
        answers.makeInference()
        chances = {c: answers.posterior(c).toarray() for c in asked.candidates}
        after: dict[tuple[str, str], dict[str, Array]] = {}
        for candidate in asked.candidates:
            set_evidence = engine.addEvidence
            for place, state in enumerate(states[candidate]):
                if chances[candidate][place] <= 0.0:
                    continue
                set_evidence(candidate, place)
                set_evidence = engine.chgEvidence
                engine.makeInference()
                after[candidate, state] = {c: engine.posterior(c).toarray() for c in asked.causes}
            if set_evidence == engine.chgEvidence:
                engine.eraseEvidence(candidate)
        return before, chances, after

    return answer


def agrum_network(tables: Tables) -> Any:
    """Return the same network in pyAgrum."""
    pyagrum: Any = import_module("pyagrum")  # it has no types
    network = pyagrum.BayesNet()
    for variable in tables.variables:
        network.add(pyagrum.LabelizedVariable(variable.id, variable.id, list(variable.states)))
    for variable in tables.variables:
        for parent in variable.parents:
            network.addArc(parent, variable.id)
        table = network.cpt(variable.id)
        axes = [*variable.parents, variable.id]
        turned = variable.chances.transpose([axes.index(name) for name in table.names])
        table.fillWith(turned.ravel(order="F").tolist())
    return network


def distance(told: Ours, peer: Peers) -> float:
    """Return the largest difference between two full answers."""
    beliefs, what_if = told
    before, chances, after = peer
    apart = [np.abs(np.array(list(beliefs[c].values())) - before[c]).max() for c in before]
    for candidate, shown in chances.items():
        for place, (state, (chance, then)) in enumerate(what_if[candidate].items()):
            apart.append(abs(chance - shown[place]))
            for cause, shares in after.get((candidate, str(state)), {}).items():
                apart.append(np.abs(np.array(list(then[cause].values())) - shares).max())
    return float(max(apart))


class Pgmpy:
    """One engine of pgmpy, asked a few hypotheticals a round; all would take hours.

    The beliefs before and the chances of answers are left out in its favour.
    """

    def __init__(self, asked: Asked, kind: str) -> None:
        self.asked, self.kind = asked, kind
        self.seconds: list[float] = []
        self.left = float(PATIENCE)
        self.query: Callable[[Sequence[str], dict[str, str]], Any] | None = None
        with self.patience():
            self.query = pgmpy_query(asked.tables, kind)

    def __call__(self, evidence: dict[str, str], told: Ours) -> float:
        """Ask some hypotheticals; return how far the answers are apart from those told."""
        if self.left <= 0.0:
            return 0.0
        _, what_if = told
        possible = [(c, s) for c, s in self.asked.hypotheticals if what_if[c][s][0] > 0.0]
        step = max(1, len(possible) // ASKED_OF_PGMPY)
        apart = 0.0
        with self.patience():
            for candidate, state in possible[::step][:ASKED_OF_PGMPY]:
                assert self.query is not None
                start = time.process_time()
                answer = self.query(self.asked.causes, {**evidence, candidate: state})
                self.seconds.append(time.process_time() - start)
                for cause, shares in answer.items():
                    ours = np.array(list(what_if[candidate][state][1][cause].values()))
                    apart = max(apart, float(np.abs(ours - shares).max()))
        return apart

    @property
    def median(self) -> float:
        """Seconds for the full answer: every hypothetical as long as the middle one."""
        if not self.seconds:
            return float("inf")
        return statistics.median(self.seconds) * len(self.asked.hypotheticals)

    @contextlib.contextmanager
    def patience(self) -> Iterator[None]:
        """Stop where it fails, runs out of memory, or has taken too long in all."""
        start = time.process_time()
        try:
            with alarmed(self.left):
                yield
            self.left -= time.process_time() - start
        except (MemoryError, TimeoutError, ValueError):
            self.left = 0.0


@contextlib.contextmanager
def alarmed(seconds: float) -> Iterator[None]:
    """Raise ``TimeoutError`` inside once it has lasted so long."""

    def stop(*_: object) -> None:
        raise TimeoutError

    signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)


def pgmpy_query(tables: Tables, kind: str) -> Callable[[Sequence[str], dict[str, str]], Any]:
    """Return how pgmpy answers; its trees are made beforehand."""
    from pgmpy.inference import BeliefPropagation, VariableElimination

    model = pgmpy_model(tables)
    engine = VariableElimination(model) if kind == "VE" else BeliefPropagation(model)
    states = {v.id: v.states for v in tables.variables}

    def query(causes: Sequence[str], evidence: dict[str, str]) -> dict[str, list[float]]:
        answers = {}
        for cause in causes:
            factor = engine.query([cause], evidence=evidence, show_progress=False)
            names = factor.state_names[cause]
            answers[cause] = [factor.values[names.index(s)] for s in states[cause]]
        return answers

    return query


if __name__ == "__main__":
    main()
