"""Measure a full answer on the jet pump, against general-purpose libraries.

Run ``python bench/full_answer.py``. A full answer is the probability of every cause (that
it came of itself) given what was found, and for every answer that any other finding,
layout or circumstance could still have, the probability of that answer and of every
cause after it. The findings are drawn from the network itself by numbered seeds.

The peers get the network of record with everything that layout and circumstances settle
worked in, the steps of a gate that a normal answer settles as further evidence, the
causes as their only targets, and an easier question: nothing is taken as known about the
number of causes, which would tie all of them together, and only half of the answers are
asked, since what an abnormal one would say follows from the normal one by subtraction.
Each runs in a process of its own with a limit on time and memory, on some of the answers,
and the rest is extrapolated. Their values are compared with ours to the same question.

Seconds are those of the processor, so that other work on the machine counts little; for a
peer, which may use several processors, those of the wall where they are fewer.
"""

import argparse
import json
import random
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from typing import TypeAlias

import click
import msgspec
import numpy as np

from faultnet.advice.observe import observe
from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.inference.downsets import ALWAYS, Expander
from faultnet.inference.engine import TooLargeError
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.what_ifs import answers, what_ifs
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.network.network import Network, cause_probability, holds
from faultnet.network.record import record_tables
from faultnet.network.tables import Tables
from faultnet.network.world import draw_world, shown

COUNTS = (4, 8, 12)
"""Findings answered: half of them abnormal, every third one told by the caller."""
SEEDS = 12
PEER_SECONDS = 40
PEER_BYTES = 6 * 2**30
SAMPLE = 6
"""Hypothetical answers that a peer is asked for."""
SAME = 1e-8
TOO_DEAR = 2**21
"""Cells of all steps together above which even ours is left out, being minutes."""

States: TypeAlias = dict[int, int]
Asked: TypeAlias = tuple[str, int, int]
"""``finding`` or ``root``, its index, and the answer."""


# cases


@cache
def subject() -> Subject:
    """Return the system as shipped."""
    return make_subject(load(shipped_folder()), "jet-pump-cistern")


def evidence(count: int, seed: int, *, known: bool) -> Evidence:
    """Return so many findings of one imagined call; with ``known``, all of the site as well."""
    rng = random.Random(seed)
    network = subject().network
    imagined = np.random.default_rng(seed)
    while True:
        world = draw_world(network, imagined)
        seen = shown(network, world)
        abnormal = [f for f, level in enumerate(seen) if level > 0]
        if len(abnormal) >= count // 2:
            break
    abnormal = rng.sample(abnormal, count // 2)
    suspects = {link.source for f in abnormal for link in network.findings[f].links}
    normal = [
        f
        for f, level in enumerate(seen)
        if level == 0 and suspects & {link.source for link in network.findings[f].links}
    ]
    findings = [*abnormal, *rng.sample(normal, count - len(abnormal))]
    told = tuple(
        Answer(
            network.findings[f].id,
            network.findings[f].answers[seen[f]],
            "technician" if k % 3 else "caller",
        )
        for k, f in enumerate(findings)
    )
    layout = {}
    circumstances = {}
    for root, state in enumerate(world.roots) if known else ():
        entry = network.roots[root]
        if entry.id in subject().system.layout:
            layout[entry.id] = entry.states[state]
        else:
            circumstances[entry.id] = bool(state)
    return Evidence((Round(told),), layout, circumstances)


def asked(network: Network, observed: Observed, known: States) -> list[Asked]:
    """Return every answer that could still be given."""
    findings = [
        ("finding", f, answer)
        for f, finding in enumerate(network.findings)
        if (f, observed.now) not in observed.findings
        for answer in range(len(finding.answers) + bool(finding.needs))
    ]
    roots = [
        ("root", r, state)
        for r, root in enumerate(network.roots)
        if r not in known
        for state in range(len(root.states))
    ]
    return findings + roots


# faultnet


class FullAnswer(msgspec.Struct):
    """P(answer) by answer asked and P(cause | answer) by answer and cause; nothing asked first."""

    asked: list[Asked]
    chances: list[float]
    causes: list[list[float]]
    seconds: float
    cells: int


def full_answer(network: Network, observed: Observed) -> FullAnswer:
    """Return the full answer, with the seconds from evidence to the last figure."""
    start = time.process_time()
    ready = what_ifs(network, observed, _open(network, observed))
    expander = Expander(ready.query)
    wanted = asked(network, observed, ready.query.known)
    terms = [
        expander.answer(index, answer) if kind == "finding" else expander.root(index, answer)
        for kind, index, answer in wanted
    ]
    found = answers(ready, [ALWAYS, *terms])
    totals = np.maximum(found.totals, 0.0)
    causes = np.divide(found.causes, totals[:, None], where=totals[:, None] > 0.0, out=found.causes)
    chances = totals / totals[0]
    seconds = time.process_time() - start
    return FullAnswer(
        wanted, chances[1:].tolist(), causes.tolist(), seconds, ready.query.plan.cells
    )


def _open(network: Network, observed: Observed) -> list[int]:
    findings = range(len(network.findings))
    return [f for f in findings if (f, observed.now) not in observed.findings]


# peers


def uncounted(network: Network) -> Network:
    """Return the network with nothing taken as known about the number of causes."""
    return msgspec.structs.replace(network, faults="any")


def settled(network: Network, states: States) -> Network:
    """Return the network without its roots, where all are known; the same where not."""
    if len(states) < len(network.roots):
        return network
    causes = tuple(
        msgspec.structs.replace(
            cause,
            probability=cause_probability(cause, states),
            factors=(),
            when=(),
            brings=tuple(b for b in cause.brings if holds(network.causes[b.cause].when, states)),
        )
        for cause in network.causes
    )
    findings = []
    for finding in network.findings:
        possible = holds(finding.when, states)
        links, follows = (
            tuple(
                msgspec.structs.replace(link, when=())
                for link in some
                if possible and holds(link.when, states)
            )
            for some in (finding.links, finding.follows)
        )
        leak = finding.leak if possible else tuple(0.0 for _ in finding.leak)
        findings.append(
            msgspec.structs.replace(finding, leak=leak, links=links, follows=follows, when=())
        )
    return msgspec.structs.replace(network, roots=(), causes=causes, findings=tuple(findings))


class PeerCase:
    """One case as a peer takes it: tables, likelihoods by variable, targets."""

    def __init__(self, count: int, seed: int, *, known: bool) -> None:
        """Write the network of record out."""
        observed = observe(subject(), evidence(count, seed, known=known))
        self.full = uncounted(subject().network)
        self.known = Query(self.full, observed).known
        self.network = settled(self.full, self.known)
        self.tables: Tables = record_tables(self.network)
        self.states = {v.id: v.states for v in self.tables.variables}
        brought = {b.cause for c in self.network.causes for b in c.brings}
        self.targets = [
            f"{c.id}.of-itself" if k in brought else c.id for k, c in enumerate(self.network.causes)
        ]
        self.likelihoods: dict[str, list[float]] = {}
        for (finding, _), chances in observed.findings.items():
            self.likelihoods[self.network.findings[finding].id] = list(chances)
            if not any(chances[1:]):
                self.likelihoods |= self.normal(finding)
        if self.network.roots:
            for root, state in self.known.items():
                entry = self.network.roots[root]
                self.likelihoods[entry.id] = [float(k == state) for k in range(len(entry.states))]
        self.open = _open(self.full, observed)

    def normal(self, finding: int) -> dict[str, list[float]]:
        """Likelihoods of a finding reading normal; of every step of its gate, if it is bare."""
        entry = self.network.findings[finding]
        variables = [entry.id]
        if not (entry.hidden_by or entry.needs or entry.when):
            steps = (v for v in self.states if v.startswith(f"{entry.id}."))
            variables += [v for v in steps if self.states[v] == entry.answers]
        return {v: [1.0, *(0.0 for _ in self.states[v][1:])] for v in variables}

    def questions(self) -> list[int]:
        """Findings that the peer is asked to suppose normal, in a random order."""
        rng = random.Random(0)
        return rng.sample(self.open, len(self.open))


Ranking: TypeAlias = Callable[[dict[str, list[float]]], list[float]]
"""From likelihoods by variable to P(present) of each target."""


def by_pyagrum(case: PeerCase) -> Ranking:
    """Lazy propagation, which sends only what the targets need."""
    import pyagrum

    model = pyagrum.BayesNet()
    for variable in case.tables.variables:
        model.add(pyagrum.LabelizedVariable(variable.id, variable.id, list(variable.states)))
    for variable in case.tables.variables:
        for parent in variable.parents:
            model.addArc(parent, variable.id)
        table = model.cpt(variable.id)
        axes = [*variable.parents, variable.id]
        order = [axes.index(name) for name in reversed(table.names)]
        table[:] = np.ascontiguousarray(np.transpose(variable.chances, order))
    engine = pyagrum.LazyPropagation(model)
    engine.setTargets(set(case.targets))

    def rank(likelihoods: dict[str, list[float]]) -> list[float]:
        engine.setEvidence(likelihoods)
        engine.makeInference()
        return [float(engine.posterior(target)[1]) for target in case.targets]

    return rank


def by_pgmpy(case: PeerCase) -> Ranking:
    """Elimination of variables, a cause at a time, on what evidence and causes need alone."""
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination

    from faultnet.network.pgmpy_model import pgmpy_model

    def rank(likelihoods: dict[str, list[float]]) -> list[float]:
        needed = _with_ancestors(case.tables, [*likelihoods, *case.targets])
        engine = VariableElimination(pgmpy_model(needed))
        hard = {
            v: case.states[v][x.index(max(x))]
            for v, x in likelihoods.items()
            if sum(map(bool, x)) == 1
        }
        soft = [
            TabularCPD(v, len(x), [[p] for p in x], state_names={v: list(case.states[v])})
            for v, x in likelihoods.items()
            if v not in hard
        ]
        found = []
        for target in case.targets:
            factor = engine.query(
                [target], evidence=hard, virtual_evidence=soft or None, show_progress=False
            )
            found.append(float(factor.values[1]))
        return found

    return rank


def _with_ancestors(tables: Tables, wanted: Sequence[str]) -> Tables:
    needed = set(wanted)
    for variable in reversed(tables.variables):
        if variable.id in needed:
            needed.update(variable.parents)
    return Tables(tables.id, tuple(v for v in tables.variables if v.id in needed))


PEERS = {"pyagrum": by_pyagrum, "pgmpy": by_pgmpy}


def peer(name: str, count: int, seed: int, *, known: bool) -> None:
    """Answer as a peer, a line of JSON after each piece."""
    resource.setrlimit(resource.RLIMIT_AS, (PEER_BYTES, PEER_BYTES))
    case = PeerCase(count, seed, known=known)
    rank = PEERS[name](case)
    for question in (None, *case.questions()[:SAMPLE]):
        start = time.process_time(), time.perf_counter()
        more = {} if question is None else case.normal(question)
        values = rank({**case.likelihoods, **more})
        seconds = min(time.process_time() - start[0], time.perf_counter() - start[1])
        piece = {"normal": question, "seconds": seconds, "causes": values}
        click.echo(json.dumps(piece))


class PeerTime(msgspec.Struct):
    """What a peer needed, extrapolated to the full answer, and how far its values are off."""

    ranked: bool
    seconds: float | None
    sampled: int
    difference: float


def ask_peer(name: str, count: int, seed: int, *, known: bool) -> PeerTime:
    """Run a peer within its limits and compare what it says."""
    observed = observe(subject(), evidence(count, seed, known=known))
    ours = full_answer(uncounted(subject().network), observed)
    line = [sys.executable, __file__, "--peer", name, "--count", str(count), "--seed", str(seed)]
    try:
        done = subprocess.run(
            [*line, *(["--known"] if known else [])],
            capture_output=True,
            text=True,
            timeout=PEER_SECONDS,
            check=False,
        )
        out = done.stdout
    except subprocess.TimeoutExpired as ended:
        out = (ended.stdout or b"").decode()
    pieces = [json.loads(x) for x in out.splitlines() if x.endswith("}")]
    place = {(kind, index, answer): k for k, (kind, index, answer) in enumerate(ours.asked, 1)}
    difference = 0.0
    for piece in pieces:
        row = 0 if piece["normal"] is None else place["finding", piece["normal"], 0]
        gaps = np.abs(np.array(piece["causes"]) - np.array(ours.causes[row]))
        difference = max(difference, float(gaps.max()))
    times = [piece["seconds"] for piece in pieces[1:]]
    whole = None
    if times:
        questions = len({index for kind, index, _ in ours.asked if kind == "finding"})
        whole = pieces[0]["seconds"] + questions * statistics.mean(times)
    return PeerTime(bool(pieces), whole, len(times), difference)


# report


def measured(count: int, seed: int, *, known: bool, runs: int) -> FullAnswer | None:
    """Return our full answer with the median time of some runs; None where it is refused."""
    network = subject().network
    observed = observe(subject(), evidence(count, seed, known=known))
    lean = Query(uncounted(network), observed, candidates=_open(network, observed))
    if lean.plan.work > TOO_DEAR:
        return None
    try:
        found = [full_answer(network, observed) for _ in range(runs)]
    except TooLargeError:
        return None
    found[0].seconds = statistics.median(f.seconds for f in found)
    return found[0]


def rows(*, known: bool, runs: int, peers: Sequence[str], peer_seeds: int) -> Iterator[str]:
    """Yield the lines of the report."""
    for count in COUNTS:
        ours = {s: measured(count, s, known=known, runs=runs) for s in range(SEEDS)}
        done = [f for f in ours.values() if f is not None]
        times = sorted(1000 * f.seconds for f in done)
        yield (
            f"{count:>2} findings: {len(done)} of {SEEDS} answered; ms: fastest {times[0]:.1f}, "
            f"median {statistics.median(times):.1f}, slowest {times[-1]:.1f}; cells "
            f"{min(f.cells for f in done)} to {max(f.cells for f in done)}; "
            f"answers {min(len(f.asked) for f in done)} to {max(len(f.asked) for f in done)}"
        )
        for seed in range(peer_seeds):
            found = ours[seed]
            if found is None:
                continue
            for name in peers:
                told = ask_peer(name, count, seed, known=known)
                yield f"   seed {seed}, {1000 * found.seconds:.1f} ms; {name}: {_told(told, found)}"


def _told(told: PeerTime, ours: FullAnswer) -> str:
    if not told.ranked:
        return f"nothing within {PEER_SECONDS} s and {PEER_BYTES >> 30} GiB"
    same = "same" if told.difference <= SAME else "NOT THE SAME"
    same = f"{same} (largest difference {told.difference:.0e})"
    if told.seconds is None:
        return f"the ranking alone within the limits; {same}"
    return (
        f"{told.seconds:.1f} s from {told.sampled} of the answers, "
        f"{told.seconds / ours.seconds:.0f} times ours; {same}"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--runs", type=int, default=5, help="runs of ours per case")
    parser.add_argument("--peers", default="pyagrum,pgmpy", help="which peers, with commas")
    parser.add_argument("--peer-seeds", type=int, default=2, help="cases a peer is asked for")
    parser.add_argument("--peer", choices=PEERS, help=argparse.SUPPRESS)
    parser.add_argument("--count", type=int, help=argparse.SUPPRESS)
    parser.add_argument("--seed", type=int, help=argparse.SUPPRESS)
    parser.add_argument("--known", action="store_true", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.peer:
        peer(given.peer, given.count, given.seed, known=given.known)
        return
    peers = [name for name in given.peers.split(",") if name]
    for known in (True, False):
        click.echo(f"layout and circumstances {'answered' if known else 'unknown'}")
        seeds = given.peer_seeds if known else min(1, given.peer_seeds)
        for line in rows(known=known, runs=given.runs, peers=peers, peer_seeds=seeds):
            click.echo(line)


if __name__ == "__main__":
    main()
