"""Hold visits by random replies in the pocket and at the office, and look that they are the same.

    python bench/pocket_walks.py [--visits 200] [--seed 1] [--most 40]

After each reply the turns are compared, and all events that were kept. It stops at the first
difference, with the seed of that visit.
"""

import argparse
import random
import sys
import tempfile
from collections import Counter
from pathlib import Path

import click

sys.path.insert(0, str(Path(__file__).parents[1]))

from faultnet.authoring.shipped import shipped_folder
from faultnet.pocket.talk.answering import Talking
from faultnet.web.office import Office
from faultnet.web.settings import Settings
from tests.pocket.walker import Clock, Walk


def main() -> int:
    """Walk the visits; return 1 where one differed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--visits", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--most", type=int, default=40)
    asked = parser.parse_args()
    turns, kinds, events = 0, Counter[str](), Counter[str]()
    with tempfile.TemporaryDirectory() as folder:
        store = f"sqlite:///{folder}/cases.db"
        office = Office(Settings(Path(folder), shipped_folder(), store))
        systems = list(office.knowledge.systems)
        for number in range(asked.visits):
            dice = random.Random(f"{asked.seed} {number}")
            talking = Talking(office.knowledge, Clock())
            walk = Walk(office, talking, systems[number % len(systems)], dice)
            try:
                over = walk.walk(asked.most)
            except AssertionError as error:
                click.echo(f"visit {number} of seed {asked.seed} differs: {str(error)[:2000]}")
                return 1
            turns += walk.told
            kinds["over" if over else "left open"] += 1
            events.update(each["what"] for each in walk.pocket_events())
            click.echo(f"{number + 1} visits, {turns} turns, {dict(kinds)}")
        office.close()
    click.echo(f"{asked.visits} visits, {turns} turns, {sum(events.values())} events, all the same")
    click.echo(str(dict(events.most_common())))
    return 0


if __name__ == "__main__":
    sys.exit(main())
