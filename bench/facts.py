"""Measure how long facts about the whole knowledge take, and how that grows.

Run ``python bench/facts.py``. First the shipped knowledge: seconds of one core for the
lint of texts and for the facts. Then drawn knowledge with more and more causes, twice as
many findings and a check for each cause: seconds for each, and how much more than the one
before. The drawn knowledge has 60 complaints however large it is, so that most checks are
worth their minutes nowhere; that is the dear case.
"""

import random
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import click

from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from faultnet.authoring.shipped import shipped_folder
from faultnet.model.knowledge import Knowledge
from faultnet.review.facts import facts

SIZES = (100, 300, 1000)
COMPLAINTS = 60
HEAD = "title: Drawn\nfrom: judgement\n"
WORDS = """\
likelihood: {almost-always: 0.9, often: 0.65, sometimes: 0.3, rarely: 0.07}
how-common: {rare: 0.002}
trust: {caller: {hit: 0.9, false-alarm: 0.04}, technician: {hit: 1, false-alarm: 0}}
repair-succeeds: 0.95
look-false-alarm: 0.01
"""
RATES = """\
currency: USD
labour-per-hour: 100
trip: 70
second-trip: 100
waiting-share: 0.5
calls: {}
disinfection: {none: 0, wipe: 5, full: 40}
"""
LAYOUT = """\
layout:
  tank: {title: T, ask: T?, values: {air: {title: A, prior: 0.8}, plain: {title: P, prior: 0.2}}}
"""
SYSTEM = """\
parts: [drawn]
specialist: {title: Specialist, minutes: 480}
unlisted: {how-common: 0.1}
"""


def main() -> None:
    """Print both tables."""
    shipped, _ = read_knowledge(shipped_folder())
    assert shipped is not None
    examples, _ = read_examples(shipped_folder(), shipped)
    texts = seconds(partial(lint, shipped, examples))
    whole = seconds(partial(facts, shipped, examples))
    click.echo(f"shipped: texts {texts:.2f} s, facts {whole:.2f} s")
    before = 0.0
    for causes in SIZES:
        known = drawn(causes)
        took = seconds(partial(facts, known, ()))
        more = f", {took / before:.1f} times as long" if before else ""
        click.echo(f"{causes} causes: {took:.2f} s{more}")
        before = took


def seconds(work: Callable[[], object]) -> float:
    """Return the seconds of one core that some work takes."""
    start = time.process_time()
    work()
    return time.process_time() - start


def drawn(causes: int) -> Knowledge:
    """Return knowledge drawn at random, the same each time."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "knowledge"
        files = {
            "words.yaml": f"from: judgement\n{WORDS}",
            "rates.yaml": f"from: judgement\n{RATES}",
            "layout.yaml": f"from: judgement\n{LAYOUT}",
            "systems/drawn-system.yaml": f"system: drawn-system\n{HEAD}{SYSTEM}",
            "parts/drawn.yaml": f"part: drawn\n{HEAD}{part(causes, random.Random(1))}",
        }
        for place, text in files.items():
            (folder / place).parent.mkdir(parents=True, exist_ok=True)
            (folder / place).write_text(text, encoding="utf-8")
        knowledge, problems = read_knowledge(folder)
    if knowledge is None:
        raise click.ClickException(str(problems[:3]))
    return knowledge


def part(causes: int, rng: random.Random) -> str:
    """Return causes with four findings each, findings with rules and hiders, checks, repairs."""
    lines = ["causes:"]
    for k in range(causes):
        shown = sorted({*rng.sample(range(1, 2 * causes), 4), *range(k == 0)})
        links = ", ".join(f"f{each}: {rng.choice((0.9, 0.65, 0.3))}" for each in shown)
        only = ", only-when: {tank: air}" if k % 7 == 0 else ""
        common = f"how-common: {1.2 / causes:.6f}, repair: r{k // 2}"
        lines.append(f"  c{k}: {{title: Cause {k}, {common}{only}, shows: {{{links}}}}}")
    lines.append("findings:")
    for k in range(2 * causes):
        rule = f"f{max(0, k - 1)}: often" if k % 10 == 3 else "f0: rarely"
        more = f", follows-from: {{{rule}}}" if k else ""
        more += f", hidden-by: [f{k - 2}]" if k % 10 == 7 else ""
        more += ", urgency: nuisance" if k < COMPLAINTS else ""
        asked = f"title: Finding {k}, ask: F?, ask-caller: F?, shows-anyway: 0.02"
        lines.append(f"  f{k}: {{{asked}{more}}}")
    lines.append("checks:")
    for k in range(causes):
        told = f"reveals: [f{2 * k}, f{2 * k + 1}], looks-for: {{c{k}: often}}"
        minutes = rng.choice((1, 3, 10, 30))
        lines.append(f"  k{k}: {{title: Check {k}, minutes: {minutes}, who: technician, {told}}}")
    lines.append("repairs:")
    for k in range((causes + 1) // 2):
        minutes = rng.choice((10, 40, 90))
        lines.append(f"  r{k}: {{title: Repair {k}, minutes: {minutes}, who: technician}}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    main()
