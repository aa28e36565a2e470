"""Measure random two-level networks: causes, findings and noisy-OR links, nothing else.

Run ``python bench/two_level.py``; ``--curves FILE.svg`` draws the cost by causes, findings
and positive findings as well (needs Matplotlib). Networks and findings come from numbered
seeds: three causes are there, findings are thrown by them, and some are told. Every
measurement runs in a process of its own, so that its peak memory is its own. Seconds are
those of the processor; for a peer, those of the wall where they are fewer.
"""

import argparse
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeAlias

import click
import msgspec
import numpy as np

from faultnet.inference.downsets import ALWAYS, Expander
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.what_ifs import answers, what_ifs
from faultnet.network.network import Cause, Finding, Link, Network
from faultnet.network.record import record_tables

NEGATIVE = 40
POSITIVE = 12
SIZES = ((100, 400, 4_000), (200, 1_000, 10_000), (400, 2_500, 25_000), (600, 4_000, 40_000))
"""Causes, findings, links."""
SEEDS = 3
PEER_SECONDS = 60
PEER_BYTES = 6 * 2**30
SAME = 1e-8


class Size(msgspec.Struct, frozen=True):
    """How large a network is and how much of it is told."""

    causes: int
    findings: int
    links: int
    positive: int = POSITIVE
    negative: int = NEGATIVE
    seed: int = 0


class Taken(msgspec.Struct):
    """Seconds and bytes of one measurement, and the figures to compare."""

    build: float
    rank: float
    value: float
    after: float
    peak: int
    cells: int
    causes: list[float]


WARM_UP = Size(10, 80, 300, positive=3)
"""What a peer answers first, so that its imports are not on the clock."""

Case: TypeAlias = tuple[Network, Observed]


def case(size: Size) -> Case:
    """Return the network and the evidence of a size."""
    for attempt in range(100):
        rng = np.random.default_rng([size.seed, attempt])
        network = _network(size, rng)
        told = _told(size, network, rng)
        if told is not None:
            return network, told
    raise SystemExit("no seed throws so many positive findings")


def _network(size: Size, rng: np.random.Generator) -> Network:
    """Rare causes, one or two expected at once; strengths of all sizes; small leaks."""
    common = np.clip(np.exp(rng.normal(np.log(2.0 / size.causes), 1.0, size.causes)), 1e-6, 0.2)
    pairs = rng.choice(size.causes * size.findings, size.links, replace=False)
    strengths = rng.uniform(0.05, 0.95, size.links)
    links: list[list[Link]] = [[] for _ in range(size.findings)]
    for pair, strength in zip(pairs.tolist(), strengths.tolist(), strict=True):
        cause, finding = divmod(pair, size.findings)
        links[finding].append(Link(cause, (strength,)))
    leaks = np.minimum(np.exp(rng.normal(np.log(2e-3), 1.0, size.findings)), 0.05)
    return Network(
        "two-level",
        (),
        tuple(Cause(f"cause-{k}", p) for k, p in enumerate(common.tolist())),
        tuple(
            Finding(f"finding-{k}", ("no", "yes"), (leak,), tuple(links[k]))
            for k, leak in enumerate(leaks.tolist())
        ),
        "several",
    )


def _told(size: Size, network: Network, rng: np.random.Generator) -> Observed | None:
    present = set(rng.choice(size.causes, 3, replace=False).tolist())
    shown = []
    for finding in network.findings:
        quiet = 1.0 - finding.leak[0]
        for link in finding.links:
            quiet *= 1.0 - link.levels[0] * (link.source in present)
        shown.append(rng.random() > quiet)
    order = rng.permutation(size.findings).tolist()
    positive = [f for f in order if shown[f]][: size.positive]
    negative = [f for f in order if not shown[f]][: size.negative]
    if len(positive) < size.positive:
        return None
    told: dict[tuple[int, int], tuple[float, ...]] = {(f, 0): (0.0, 1.0) for f in positive}
    told |= {(f, 0): (1.0, 0.0) for f in negative}
    return Observed(findings=told)


def ours(size: Size) -> Taken:
    """Rank all causes, value all findings, and rank all causes after each of their answers."""
    network, observed = case(size)
    start = time.process_time()
    query = Query(network, observed)
    built = time.process_time()
    masses = query.masses()
    causes = [float(masses.causes[c] / masses.total) for c in range(size.causes)]
    ranked = time.process_time()
    free = [f for f in range(size.findings) if (f, 0) not in observed.findings]
    ready = what_ifs(network, observed, free)
    expander = Expander(ready.query)
    terms = [expander.answer(f, answer) for f in free for answer in (0, 1)]
    prepared = time.process_time()
    chances = ready.query.weigh([row for term in terms[::2] for row, _ in expander.rows(term)])
    valued = time.process_time()
    found = answers(ready, [ALWAYS, *terms])
    found.causes /= np.maximum(found.totals, 1e-300)[:, None]
    done = time.process_time()
    assert len(chances) == len(free)
    return Taken(
        built - start,
        ranked - built,
        valued - ranked,
        prepared - ranked + done - valued,
        resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024,
        query.plan.cells,
        causes,
    )


# peers: nothing known about the number of causes, which is easier, and what normal
# findings say already worked into a likelihood of each cause


def easier(size: Size) -> list[float]:
    """Our answer to the question that peers are asked."""
    network, observed = case(size)
    query = Query(msgspec.structs.replace(network, faults="any"), observed)
    masses = query.masses()
    return [float(masses.causes[c] / masses.total) for c in range(size.causes)]


def absorbed(size: Size) -> tuple[Network, dict[str, list[float]]]:
    """The network of the positive findings alone, and likelihoods by variable."""
    network, observed = case(size)
    calm = [1.0] * size.causes
    positive = []
    for (finding, _), chances in observed.findings.items():
        entry = network.findings[finding]
        if chances[0] == 0.0:
            positive.append(entry)
            continue
        for link in entry.links:
            calm[link.source] *= 1.0 - link.levels[0]
    said = {c.id: [1.0, calm[k]] for k, c in enumerate(network.causes) if calm[k] != 1.0}
    said |= {finding.id: [0.0, 1.0] for finding in positive}
    return msgspec.structs.replace(network, faults="any", findings=tuple(positive)), said


def pyagrum_own_gates(size: Size) -> list[float]:
    """Lazy propagation on its own noisy-OR gates."""
    import pyagrum

    network, said = absorbed(size)
    model = pyagrum.BayesNet()
    for cause in network.causes:
        model.add(pyagrum.LabelizedVariable(cause.id, cause.id, 2))
        model.cpt(cause.id).fillWith([1.0 - cause.probability, cause.probability])
    for entry in network.findings:
        model.addNoisyORNet(pyagrum.LabelizedVariable(entry.id, entry.id, 2), entry.leak[0])
        for link in entry.links:
            model.addWeightedArc(network.causes[link.source].id, entry.id, link.levels[0])
    return _by_pyagrum(model, network, said)


def pyagrum_chained(size: Size) -> list[float]:
    """Lazy propagation on gates divorced into chains."""
    import pyagrum

    network, said = absorbed(size)
    model = pyagrum.BayesNet()
    tables = record_tables(network)
    for variable in tables.variables:
        model.add(pyagrum.LabelizedVariable(variable.id, variable.id, len(variable.states)))
    for variable in tables.variables:
        for parent in variable.parents:
            model.addArc(parent, variable.id)
        table = model.cpt(variable.id)
        axes = [*variable.parents, variable.id]
        order = [axes.index(name) for name in reversed(table.names)]
        table[:] = np.ascontiguousarray(np.transpose(variable.chances, order))
    return _by_pyagrum(model, network, said)


def _by_pyagrum(
    model: Any,
    network: Network,
    said: dict[str, list[float]],
) -> list[float]:
    import pyagrum

    engine = pyagrum.LazyPropagation(model)
    engine.setEvidence(said)
    engine.setTargets({cause.id for cause in network.causes})
    engine.makeInference()
    return [float(engine.posterior(cause.id)[1]) for cause in network.causes]


def pgmpy_chained(size: Size) -> list[float]:
    """Elimination of variables, a cause at a time, on gates divorced into chains."""
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination

    from faultnet.network.pgmpy_model import pgmpy_model

    network, said = absorbed(size)
    hard = {v: "yes" for v, chances in said.items() if chances[0] == 0.0}
    soft = [
        TabularCPD(v, 2, [[p] for p in chances], state_names={v: ["absent", "present"]})
        for v, chances in said.items()
        if v not in hard
    ]
    engine = VariableElimination(pgmpy_model(record_tables(network)))
    found = []
    for cause in network.causes:
        factor = engine.query([cause.id], evidence=hard, virtual_evidence=soft, show_progress=False)
        found.append(float(factor.values[1]))
    return found


PEERS: dict[str, Callable[[Size], list[float]]] = {
    "pyagrum, its own noisy-OR": pyagrum_own_gates,
    "pyagrum, chains": pyagrum_chained,
    "pgmpy, chains": pgmpy_chained,
}


# processes


def child(what: str, size: Size) -> None:
    """Measure one thing and print it."""
    if what == "faultnet":
        sys.stdout.write(msgspec.json.encode(ours(size)).decode())
        return
    resource.setrlimit(resource.RLIMIT_AS, (PEER_BYTES, PEER_BYTES))
    PEERS[what](WARM_UP)
    start = time.process_time(), time.perf_counter()
    causes = PEERS[what](size)
    seconds = min(time.process_time() - start[0], time.perf_counter() - start[1])
    sys.stdout.write(json.dumps({"seconds": seconds, "causes": causes}))


def ask(what: str, size: Size) -> str:
    """Return what a process of its own prints; nothing when it fails or takes too long."""
    line = [sys.executable, __file__, "--child", what, "--size", msgspec.json.encode(size).decode()]
    try:
        done = subprocess.run(
            line, capture_output=True, text=True, timeout=PEER_SECONDS, check=False
        )
    except subprocess.TimeoutExpired:
        return ""
    return done.stdout if done.returncode == 0 else ""


def measured(size: Size) -> Taken:
    """Return our figures for a size: of some seeds the median of each."""
    some = [
        msgspec.json.decode(ask("faultnet", msgspec.structs.replace(size, seed=s)), type=Taken)
        for s in range(SEEDS)
    ]
    build, rank, value, after = (
        float(np.median([getattr(t, name) for t in some]))
        for name in ("build", "rank", "value", "after")
    )
    peak, cells = max(t.peak for t in some), max(t.cells for t in some)
    return Taken(build, rank, value, after, peak, cells, some[0].causes)


def report() -> None:
    """Print the table of sizes, and the peers at the smallest."""
    click.echo(
        f"{'causes':>6} {'findings':>8} {'links':>7}   {'build':>7} {'rank':>7} "
        f"{'value':>7} {'after':>7} seconds {'peak':>6} MiB {'cells':>6}"
    )
    for causes, findings, links in SIZES:
        t = measured(Size(causes, findings, links))
        click.echo(
            f"{causes:>6} {findings:>8} {links:>7}   {t.build:>7.3f} {t.rank:>7.3f} "
            f"{t.value:>7.3f} {t.after:>7.3f}         {t.peak / 2**20:>6.0f}     {t.cells:>6}"
        )
    for size in (Size(*SIZES[0]), Size(*SIZES[0], positive=6), Size(*SIZES[-1])):
        mine = msgspec.json.decode(ask("faultnet", size), type=Taken)
        wanted = easier(size)
        click.echo(
            f"{size.causes} causes, {size.findings} findings, {size.positive} positive: "
            f"ours {mine.build + mine.rank:.3f} s"
        )
        for name in PEERS:
            told = ask(name, size)
            if not told:
                click.echo(f"  {name}: nothing within {PEER_SECONDS} s and {PEER_BYTES >> 30} GiB")
                continue
            found = json.loads(told)
            gap = max(abs(a - b) for a, b in zip(found["causes"], wanted, strict=True))
            same = "same" if gap <= SAME else "NOT THE SAME"
            ratio = found["seconds"] / (mine.build + mine.rank)
            click.echo(
                f"  {name}: {found['seconds']:.2f} s, {ratio:.0f} times ours; {same} ({gap:.0e})"
            )


# curves


def curves(path: Path) -> None:
    """Draw the seconds by causes, by findings and by positive findings."""
    import matplotlib as mpl

    mpl.use("svg")
    mpl.rcParams |= {"svg.hashsalt": "faultnet", "svg.fonttype": "none", "font.size": 9}
    from matplotlib import pyplot as plt

    panels: list[tuple[str, Sequence[int], Callable[[int], Size]]] = [
        (
            "causes (1,000 findings, 10,000 links, 12 positive)",
            (100, 200, 300, 400, 500, 600),
            lambda n: Size(n, 1_000, 10_000),
        ),
        (
            "findings (300 causes, 10 links each, 12 positive)",
            (500, 1_000, 1_500, 2_000, 3_000, 4_000),
            lambda n: Size(300, n, 10 * n),
        ),
        (
            "positive findings (100 causes, 400 findings, 4,000 links)",
            (4, 6, 8, 10, 12, 14, 16),
            lambda n: Size(100, 400, 4_000, positive=n),
        ),
    ]
    figure, axes = plt.subplots(1, 3, figsize=(10.5, 3.4), sharey=True)
    for plot, (label, steps, make) in zip(axes, panels, strict=True):
        taken = [measured(make(n)) for n in steps]
        for name, style, marker, values in (
            ("all causes ranked", "-", "o", [t.build + t.rank for t in taken]),
            ("all findings valued", "--", "s", [t.value for t in taken]),
            ("all causes after every answer", ":", "^", [t.after for t in taken]),
        ):
            plot.plot(
                steps,
                values,
                color="black",
                linestyle=style,
                marker=marker,
                fillstyle="none",
                label=name,
            )
            click.echo(f"{label}; {name}: " + " ".join(f"{v:.3f}" for v in values))
        plot.set_xlabel(label, fontsize=7.5)
        plot.set_yscale("log")
        plot.grid(visible=True, axis="y", color="0.85", linewidth=0.6)
        plot.set_axisbelow(True)
        plot.spines[["top", "right"]].set_visible(False)
    axes[0].set_ylabel("seconds")
    axes[0].legend(frameon=False, fontsize=7.5)
    figure.tight_layout()
    figure.savefig(path, metadata={"Date": None, "Creator": None})


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--curves", type=Path, help="draw the cost curves into this SVG file")
    parser.add_argument("--child", help=argparse.SUPPRESS)
    parser.add_argument("--size", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.child:
        child(given.child, msgspec.json.decode(given.size, type=Size))
        return
    report()
    if given.curves:
        curves(given.curves)


if __name__ == "__main__":
    main()
