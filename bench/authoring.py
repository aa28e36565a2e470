"""Measure what an author waits for: reading, lint and proving, and how they grow.

Run ``python bench/authoring.py``. Lint is held against a plain parse of the same files by PyYAML's
C loader, proving against one ranking per case, all in one process and turn by turn, so that a busy
machine slows all alike. Seconds are those of the processor; of each the median is told. For growth,
knowledge of a given number of causes is made from a numbered seed: parts of 25 causes, each cause
with its own finding, check and repair, and ten findings that all parts share.
"""

import argparse
import math
import random
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import click
import yaml

from faultnet.advice.prove import proof_of
from faultnet.advice.ranking import rank
from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from faultnet.authoring.shipped import shipped_folder
from faultnet.model.evidence import Answer, Evidence, Round

SIZES = (50, 100, 200, 500, 1000)
OF_PART = 25
SHARED = 10
"""Findings that causes of every part show."""
EXPECTED = 1.3
"""Causes per call, whatever the size."""
WORDS = """\
from: judgement
likelihood: {almost-always: 0.91, often: 0.65, sometimes: 0.28, rarely: 0.07, almost-never: 0.03}
how-common: {common: 0.036, occasional: 0.013, rare: 0.0025}
trust: {caller: {hit: 0.9, false-alarm: 0.02}, technician: {hit: 1, false-alarm: 0}}
repair-succeeds: 0.95
look-false-alarm: 0.01
"""
RATES = """\
from: judgement
currency: USD
labour-per-hour: 100
trip: 70
second-trip: 100
waiting-share: 0.5
calls: {specialist: {minutes: 90, money: 200}}
disinfection: {none: 0}
"""


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=7, help="turns of what is shipped")
    parser.add_argument("--sizes", type=int, nargs="*", default=SIZES, help="causes, for growth")
    parser.add_argument("--share", type=int, default=1, help="prove one case in so many")
    given = parser.parse_args()
    shipped(given.runs)
    proving(given.share)
    growth(given.sizes)


def shipped(runs: int) -> None:
    """Print lint against a plain parse, and proving against one ranking per case."""
    folder = shipped_folder()
    texts = [path.read_bytes() for path in sorted(folder.rglob("*.yaml"))]
    lines = sum(text.count(b"\n") for text in texts)

    def plain() -> None:
        for text in texts:
            yaml.load(text, Loader=yaml.CSafeLoader)

    taken = _turns({"plain parse": plain, "lint": lambda: linted(folder)}, runs)
    click.echo(f"shipped: {len(texts)} files, {lines} lines; {runs} turns")
    _against("lint", taken["lint"], "plain parse", taken["plain parse"])


def proving(share: int) -> None:
    """Print proving against one ranking, case by case, for one case in so many."""
    folder = shipped_folder()
    knowledge, _ = read_knowledge(folder)
    assert knowledge is not None
    cases = read_examples(folder, knowledge)[0][::share]
    subjects = {system: make_subject(knowledge, system) for system in knowledge.systems}
    taken: dict[str, list[float]] = {"rank": [], "prove": []}
    for each in cases:
        subject = subjects[each.system]
        once = _turns(
            {
                "rank": partial(anew, rank, subject, each.evidence),
                "prove": partial(anew, proof_of, subject, each),
            },
            1,
        )
        for name in taken:
            taken[name] += once[name]
    whole = {name: [sum(seconds)] for name, seconds in taken.items()}
    asks = sum(bool(each.expect.next) for each in cases)
    click.echo(f"{len(cases)} cases, {asks} of which ask for the next step as well")
    _against("prove", whole["prove"], "one ranking each", whole["rank"])


def anew(do: Callable[[Subject, Any], object], subject: Subject, about: object) -> None:
    """Do what is done with a subject, as if nothing had been asked of it before."""
    vars(subject).pop("recent", None)
    do(subject, about)


def _against(name: str, taken: list[float], peer: str, its: list[float]) -> None:
    ratios = [a / b for a, b in zip(taken, its, strict=True)]
    click.echo(
        f"{name:<6}{_ms(taken)}   {peer} {_ms(its)}   ratio {statistics.median(ratios):.2f} "
        f"({min(ratios):.2f} to {max(ratios):.2f})"
    )


def linted(folder: Path) -> None:
    """Do what `faultnet lint` does before it prints, the facts of the whole apart."""
    knowledge, _ = read_knowledge(folder)
    assert knowledge is not None
    lint(knowledge, read_examples(folder, knowledge)[0])


def growth(sizes: tuple[int, ...]) -> None:
    """Print load, lint and one ranking by size, and the power of the size they grow by."""
    click.echo(f"\n{'causes':>7}{'lines':>8}{'parse':>10}{'load':>10}{'lint':>10}{'rank':>10}")
    before: tuple[int, list[float]] | None = None
    for size in sizes:
        lines, taken = _grown(size)
        power = "" if before is None else _power(before, (size, taken))
        click.echo(f"{size:>7}{lines:>8}{''.join(f'{1000 * t:>7.0f} ms' for t in taken)}   {power}")
        before = size, taken


def _power(before: tuple[int, list[float]], now: tuple[int, list[float]]) -> str:
    """Return the power of the size by which each time has grown: 1 is linear, 2 square."""
    steps = zip(before[1], now[1], strict=True)
    powers = [math.log(b / a) / math.log(now[0] / before[0]) for a, b in steps]
    return "grows by " + " ".join(f"{each:.2f}" for each in powers)


def _grown(size: int) -> tuple[int, list[float]]:
    """Return the lines of made knowledge, and the seconds of parse, load, lint and rank."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        write(folder, size)
        texts = [path.read_bytes() for path in sorted(folder.rglob("*.yaml"))]
        knowledge, problems = read_knowledge(folder)
        assert knowledge is not None, problems[:3]
        subject = make_subject(knowledge, "made")
        told = _told(subject)
        taken = _turns(
            {
                "parse": lambda: [yaml.load(t, Loader=yaml.CSafeLoader) for t in texts],
                "load": lambda: read_knowledge(folder),
                "lint": lambda: lint(knowledge, ()),
                "rank": lambda: anew(rank, subject, told),
            },
            5,
        )
    return sum(t.count(b"\n") for t in texts), [statistics.median(each) for each in taken.values()]


def _told(subject: Subject) -> Evidence:
    """Return three findings that the first cause shows, and twenty that are normal."""
    own = [link.finding for link in subject.knowledge.causes["cause-0"].shows]
    others = [f for f in subject.findings if f not in own and not f.startswith("found-")][:20]
    answers = [Answer(f, "yes", "technician") for f in own]
    return Evidence((Round((*answers, *(Answer(f, "no", "technician") for f in others))),))


def write(folder: Path, size: int) -> None:
    """Write knowledge of so many causes into a folder."""
    for name in ("parts", "systems"):
        (folder / name).mkdir()
    (folder / "words.yaml").write_text(WORDS)
    (folder / "rates.yaml").write_text(RATES)
    numbers = range(0, size, OF_PART)
    names = [f"part-{first // OF_PART}" for first in numbers]
    for name, first in zip(names, numbers, strict=True):
        causes = range(first, min(first + OF_PART, size))
        text = "\n".join(_part(name, causes, size, random.Random(first)))
        (folder / f"parts/{name}.yaml").write_text(text + "\n")
    (folder / "systems/made.yaml").write_text(
        f"system: made\ntitle: Made\nfrom: judgement\nparts: [{', '.join(names)}]\n"
        "specialist: {title: Specialist, minutes: 480}\nunlisted: {how-common: 0.05}\n"
    )


def _part(name: str, causes: range, size: int, chance: random.Random) -> Iterator[str]:
    yield from (f"part: {name}", f"title: {name}", "about: Made.", "from: judgement", "causes:")
    for n in causes:
        shows = {f"finding-{n}": "almost-always", f"finding-{chance.choice(causes)}": "often"}
        shows[f"shared-{chance.randrange(SHARED)}"] = "sometimes"
        yield f"  cause-{n}:\n    title: Cause {n}\n    how-common: {EXPECTED / size:.6f}"
        yield f"    shows: {{{', '.join(f'{f}: {s}' for f, s in shows.items())}}}"
        yield f"    repair: repair-{n}"
    yield "findings:"
    own = [f"finding-{n}" for n in causes]
    for finding in (*own, *(f"shared-{k}" for k in range(SHARED) if name == "part-0")):
        yield f"  {finding}: {{title: {finding}, ask: Is it so?, shows-anyway: rarely}}"
    yield "checks:"
    for n in causes:
        yield f"  check-{n}:\n    title: Check {n}\n    minutes: 5\n    who: technician"
        yield f"    reveals: [finding-{n}]\n    looks-for: {{cause-{n}: almost-always}}"
        yield f"    steps: [Look at part {n} of the installation., Write down what it shows.]"
    yield "repairs:"
    for n in causes:
        yield f"  repair-{n}:\n    title: Repair {n}\n    minutes: 30\n    who: technician"
        yield "    proof: It is gone.\n    proof-minutes: 5"


def _turns(work: dict[str, Callable[[], object]], runs: int) -> dict[str, list[float]]:
    """Return the seconds of each piece of work, done in turn; a first turn is not counted."""
    taken: dict[str, list[float]] = {name: [] for name in work}
    for turn in range(runs + 1):
        for name, do in work.items():
            start = time.process_time()
            do()
            if turn:
                taken[name].append(time.process_time() - start)
    return taken


def _ms(seconds: list[float]) -> str:
    return f"{1000 * statistics.median(seconds):6.0f} ms"


if __name__ == "__main__":
    main()
