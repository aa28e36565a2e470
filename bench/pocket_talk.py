"""How much of a visit in the pocket needs no thought, with foresight and without.

    python bench/pocket_talk.py [--visits 6] [--seed 1] [--ahead 16]

Visits to pumps with one fault each, answered as such a site would answer. Between two replies the
page asks for so many turns ahead. What is told: the share of shows at which nothing had to be
worked out, and the milliseconds of shows and replies.
"""

import argparse
import json
import random
import statistics
import sys
import time
from collections.abc import Callable, Hashable
from pathlib import Path
from typing import TypeVar
from unittest.mock import patch

import click
import msgspec

sys.path.insert(0, str(Path(__file__).parents[1]))

from faultnet.advice.recent import Recent
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.pocket.talk.answering import Talking
from faultnet.pocket.talk.carried import OfCase
from faultnet.shapes.plain import Json
from faultnet.visit.visit import Visit
from tests.pocket.truthful import Truthful

T = TypeVar("T")

AUTHOR = "bench@0123456789ab"


class Counting:
    """Counts what had to be worked out."""

    def __init__(self) -> None:
        self.made = 0
        before = Recent.once

        def once(recent: Recent, key: Hashable, make: Callable[[], T]) -> T:
            return before(recent, key, lambda: self._made(key, make))

        patch.object(Recent, "once", once).start()

    def _made(self, key: Hashable, make: Callable[[], T]) -> T:
        if isinstance(key, tuple) and str(key[0]).split(" ")[0] in {"ranking", "advice", "tells"}:
            self.made += 1
        return make()


def main() -> None:
    """Walk the visits and tell the figures."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--visits", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--ahead", type=int, default=16)
    asked = parser.parse_args()
    knowledge, counting = load(shipped_folder()), Counting()
    for ahead in (0, asked.ahead):
        dice, told = random.Random(asked.seed), Figures()
        for _ in range(asked.visits):
            talking = Talking(knowledge)
            subject = talking.carried.subject(dice.choice(list(knowledge.systems)), "$.system")
            _visit(talking, Truthful.drawn(subject, dice), counting, ahead, told)
        told.say(ahead)


class Figures:
    """Seconds of what was asked, by what it was."""

    def __init__(self) -> None:
        self.shows: list[float] = []
        self.free: list[bool] = []
        self.replies: list[float] = []
        self.ahead: list[float] = []
        self.then = self.before = 0

    def say(self, ahead: int) -> None:
        """Tell the figures."""
        share = sum(self.free) / len(self.free)
        click.echo(f"ahead {ahead}: {len(self.free)} shows, {share:.0%} without a thought")
        click.echo(f"  thoughts: {self.then} when shown, {self.before} beforehand")
        for name in ("shows", "replies", "ahead"):
            found = sorted(each * 1e3 for each in getattr(self, name)) or [0.0]
            worst = found[int(len(found) * 0.9)]
            told = f"median {statistics.median(found):.1f}, 9 of 10 within {worst:.0f}"
            all_of_it = f"most {found[-1]:.0f}, all {sum(found) / 1e3:.1f} s"
            click.echo(f"  {name:8} ms: {told}, {all_of_it}")


def _visit(talking: Talking, site: Truthful, counting: Counting, ahead: int, told: Figures) -> None:
    given: Json = {"author": AUTHOR}
    entries = _ask(talking, "begin", given | {"system": site.site.subject.system.id})["entries"]
    for _ in range(120):
        given["entries"] = entries
        begun, before = time.perf_counter(), counting.made
        shown = _ask(talking, "show", given)
        told.shows.append(time.perf_counter() - begun)
        told.free.append(counting.made == before)
        told.then += counting.made - before
        if shown["over"]:
            return
        if shown["note"]:
            entries = [*entries, shown["note"]]
            given["entries"] = entries
        before = counting.made
        for number in range(ahead):
            begun = time.perf_counter()
            foreseen = _ask(talking, "foresee", given | {"number": number})
            told.ahead.append(time.perf_counter() - begun)
            if foreseen["done"]:
                break
        told.before += counting.made - before
        reply = given | {"last": shown["last"]} | site.reply(_visit_of(talking, given))
        begun = time.perf_counter()
        led_to = _ask(talking, "reply", reply)
        told.replies.append(time.perf_counter() - begun)
        entries = [*entries, *led_to["entries"]]


def _visit_of(talking: Talking, given: Json) -> Visit:
    asked = msgspec.json.decode(json.dumps(given), type=OfCase)
    return talking.carried.held(asked).seen


def _ask(talking: Talking, name: str, given: Json) -> Json:
    answer: Json = json.loads(talking.answer(name, json.dumps(given)))
    if "trouble" in answer:
        raise SystemExit(answer["trouble"])
    return answer


if __name__ == "__main__":
    main()
