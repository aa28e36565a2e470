"""What the page without signal thinks, and how long it takes: in headless Chromium, network off.

Run ``python bench/pocket_phone.py --sets 500``. The page is made as ``faultnet pocket`` makes it,
opened once from a plain file server, which is then closed. Random evidence on all systems is
ranked and its steps are priced on the page and on the desk; every number must be the same to
1e-9, or it exits with 1. With ``--slow 6`` the processes of the page run one sixth of the time
(they are stopped and let go on many times a second: the browser's own throttling leaves workers
alone); how much slower a plain loop became is measured and told beside. Loads and answers are in
seconds of the clock, so use a quiet machine.
"""

import argparse
import os
import random
import signal
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click
import msgspec
from playwright.sync_api import Page, sync_playwright

from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import members
from faultnet.pocket.making.core import Given
from faultnet.pocket.making.pocket import pocket
from faultnet.pocket.making.written import write
from faultnet.pocket.talk.answering import Talking
from tests.pocket.desk import PHONE
from tests.pocket.files import serving

CLOSE = 1e-9
PERIOD = 0.06
"""Seconds in which the page is stopped once."""
WAKE = """async () => {
  const { thinker } = await import("./thinker.js");
  window.thinks = thinker();
  await window.thinks.ready;
}"""
ASK = """async ([name, given]) => {
  const begun = performance.now();
  let answer;
  try {
    answer = await window.thinks.ask(name, given);
  } catch (error) {
    answer = { told: error.told };
  }
  return [answer, performance.now() - begun];
}"""
LOOP = """() => {
  const begun = performance.now();
  let sum = 0;
  for (let k = 0; k < 3e8; k += 1) sum += k % 7;
  return [performance.now() - begun, sum];
}"""
KEPT = """async () => {
  const { state } = await import("./edition.js");
  return state().kept;
}"""


def drawn(knowledge: Knowledge, number: int) -> dict[str, Any]:
    """Return random evidence: a complaint or two, then answers of every kind."""
    chance = random.Random(number)
    system = chance.choice(list(knowledge.systems.values()))
    known = members(knowledge, system)
    findings = [knowledge.findings[each] for each in known.findings]
    answers = []
    for finding in chance.sample(findings, min(len(findings), chance.randint(1, 6))):
        usual = chance.random() < 0.6
        answer = (
            finding.normal if usual and finding.normal else chance.choice(list(finding.answers))
        )
        speaker = "technician" if chance.random() < 0.7 else "caller"
        answers.append({"finding": finding.id, "answer": answer, "speaker": speaker})
    layout = {
        name: max(shares, key=lambda value: shares[value].value)
        for name, shares in system.layout.items()
        if chance.random() < 0.8
    }
    return {"system": system.id, "evidence": {"answers": answers, "layout": layout}}


def unlike(here: Any, there: Any, place: str = "") -> Iterator[str]:
    """Yield where two answers differ.

    What has an id is looked up by it, as ties may change places.
    """
    if isinstance(there, list) and there and isinstance(there[0], dict) and "id" in there[0]:
        yield from unlike({e["id"]: e for e in here}, {e["id"]: e for e in there}, place)
    elif isinstance(there, dict) and isinstance(here, dict) and here.keys() == there.keys():
        for key, value in there.items():
            yield from unlike(here[key], value, f"{place}.{key}")
    elif isinstance(there, list) and isinstance(here, list) and len(here) == len(there):
        for number, value in enumerate(there):
            yield from unlike(here[number], value, f"{place}[{number}]")
    elif isinstance(there, float) and isinstance(here, float | int):
        if abs(here - there) > CLOSE * max(1.0, abs(there)):
            yield f"{place}: {here!r} on the page, {there!r} on the desk"
    elif here != there:
        yield f"{place}: {here!r} on the page, {there!r} on the desk"


@contextmanager
def slowed(times: float) -> Iterator[None]:
    """Let the processes of pages run only one of so many moments."""
    over = threading.Event()

    def hold() -> None:
        while not over.is_set():
            pids = renderers()
            signalled(pids, signal.SIGSTOP)
            time.sleep(PERIOD * (1 - 1 / times))
            signalled(pids, signal.SIGCONT)
            time.sleep(PERIOD / times)

    holding = threading.Thread(target=hold)
    if times > 1:
        holding.start()
    try:
        yield
    finally:
        over.set()
        if times > 1:
            holding.join()


def renderers() -> list[int]:
    """Return the processes of pages that belong to this one."""
    parents, found = {}, []
    for each in Path("/proc").iterdir():
        if each.name.isdigit():
            try:
                parents[int(each.name)] = int(
                    (each / "stat").read_text().rsplit(")", 1)[1].split()[1]
                )
                if b"--type=renderer" in (each / "cmdline").read_bytes():
                    found.append(int(each.name))
            except OSError:
                continue  # it has ended meanwhile
    return [pid for pid in found if os.getpid() in ancestors(pid, parents)]


def ancestors(pid: int, parents: dict[int, int]) -> Iterator[int]:
    """Yield whose child a process is, and whose child that is."""
    while pid := parents.get(pid, 0):
        yield pid


def signalled(pids: list[int], how: signal.Signals) -> None:
    """Send a signal to those that are still there."""
    for pid in pids:
        try:
            os.kill(pid, how)
        except ProcessLookupError:
            continue


def asked(page: Page, name: str, given: dict[str, Any]) -> tuple[Any, float]:
    """Return the answer of the page, and the seconds it took."""
    answer, took = page.evaluate(ASK, [name, given])
    return answer, took / 1000


def opened(page: Page, address: str) -> float:
    """Open the page for the first time; return the seconds until it has all and thinks."""
    begun = time.perf_counter()
    page.goto(address)
    while True:
        try:
            if page.evaluate(KEPT):
                page.evaluate(WAKE)
                return time.perf_counter() - begun
        except Exception:  # noqa: BLE001 - it loads itself anew when all is copied
            time.sleep(0.05)
        time.sleep(0.05)


def woken(page: Page) -> float:
    """Load the page again without network; return the seconds until it thinks."""
    begun = time.perf_counter()
    page.reload()
    page.evaluate(WAKE)
    return time.perf_counter() - begun


def compared(page: Page, talking: Talking, knowledge: Knowledge, sets: int) -> tuple[int, int]:
    """Compare the page with the desk; return how many sets differ, and how many told a trouble."""
    wrong = troubles = 0
    for number in range(sets):
        given = drawn(knowledge, number)
        for name in ("rank", "next"):
            there = msgspec.json.decode(talking.answer(name, msgspec.json.encode(given).decode()))
            here, _ = asked(page, name, given)
            if "trouble" in there:
                troubles += name == "rank"
                here, there = here.get("told"), there["trouble"]
            for difference in unlike(here, there):
                wrong += 1
                click.echo(f"set {number}, {name}: {difference}", err=True)
    return wrong, troubles


def timed(page: Page, knowledge: Knowledge, sets: int, times: float) -> None:
    """Tell how long answers take, slowed and not."""
    click.echo(f"{'answers':24} {'median':>8} {'nine of ten':>12} {'longest':>8}   seconds")
    for slow in sorted({1.0, times}):
        with slowed(slow):
            plain = page.evaluate(LOOP)[0] / 1000
            took: dict[str, list[float]] = {"rank": [], "next": []}
            for number in range(sets):
                for name, list_ in took.items():
                    list_.append(asked(page, name, drawn(knowledge, 10_000 + number))[1])
        for name, all_ in took.items():
            all_.sort()
            ninth = all_[int(0.9 * (len(all_) - 1))]
            click.echo(
                f"{name:10} slowed {slow:3g} x {statistics.median(all_):9.2f} {ninth:12.2f}"
                f" {all_[-1]:8.2f}   (a plain loop {plain:.2f})"
            )


def main() -> None:
    """Compare, and measure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sets", type=int, default=500)
    parser.add_argument("--timed", type=int, default=30, help="sets whose answers are timed")
    parser.add_argument("--slow", type=float, default=6.0)
    parser.add_argument("--browser", default="/usr/bin/chromium")
    given = parser.parse_args()
    knowledge = load(shipped_folder())
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playing:
        folder = Path(home)
        write(pocket(knowledge, Given()), folder)
        browser = playing.chromium.launch(executable_path=given.browser, args=["--no-sandbox"])
        context = browser.new_context(viewport=PHONE)
        page = context.new_page()
        with serving(folder) as served:
            click.echo(f"first load {opened(page, served.address):.1f} s")
            page.wait_for_timeout(8000)  # what Python compiled is kept in a quiet moment
            context.set_offline(True)
            served.stop()
            later = [woken(page) for _ in range(4)]
            click.echo("later loads " + ", ".join(f"{each:.1f}" for each in later) + " s")
            with slowed(given.slow):
                click.echo(f"a later load slowed {given.slow:g} times {woken(page):.1f} s")
            timed(page, knowledge, given.timed, given.slow)
            wrong, troubles = compared(page, Talking(knowledge), knowledge, given.sets)
        browser.close()
    click.echo(f"{given.sets} sets on {len(knowledge.systems)} systems")
    click.echo(f"{troubles} told as trouble; {wrong} differences beyond {CLOSE:g}")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
