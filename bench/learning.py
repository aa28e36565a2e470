"""What learning brings: before and after, on calls that were not learnt from.

Run ``python bench/learning.py --keep DIR``. The truth is the shipped jet pump with log-normal
noise on its numbers; whoever thinks has the files as they are. From the truth come closed cases,
one in a hundred of them spoilt on purpose. How common, strengths and minutes are learnt from the
first 500, 2,000 and 10,000 of them. Then calls that were never seen are ranked with the numbers
of the files, with learnt ones, and with the truth itself, which nobody can better: log loss
over all causes, and whether one of the causes at fault stands among the first three. On fewer
calls the tool is followed to the end of each, for its minutes.

Every stage is kept in DIR and is not done again; delete its file to do it anew. Seconds are by
the clock. With ``--docs`` the table is written as Markdown.
"""

import argparse
import time
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import islice
from pathlib import Path
from typing import TypeVar

import click
import msgspec
import numpy as np
from msgspec.structs import replace

from faultnet.advice.grounds import grounds
from faultnet.advice.imagined import Manner, imagine
from faultnet.advice.ranking import rank
from faultnet.advice.subject import Subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.inference.engine import TooLargeError
from faultnet.learning.altered.noise import Noise
from faultnet.learning.altered.truth import Truth, truth_of
from faultnet.learning.closed import ClosedCase
from faultnet.learning.estimate.estimate import Rounds, estimate, learnt
from faultnet.learning.fit.fit import fit_to
from faultnet.learning.fit.fitted import fitted
from faultnet.learning.fit.tally import Counting, lines_of
from faultnet.learning.imagined.cases import imagined_cases, recipe
from faultnet.learning.imagined.habits import Habits
from faultnet.learning.imagined.spoilt import Spoiling, write_spoilt
from faultnet.learning.measures.ranked import log_loss
from faultnet.learning.minutes.minutes import learn_minutes
from faultnet.learning.proposed import Kind, Proposed
from faultnet.learning.reading.where import source_of
from faultnet.learning.source import CasesAtHand
from faultnet.learning.trials.kept import Kept
from faultnet.learning.trials.summary import Mean, means
from faultnet.learning.trials.trial import Trial
from faultnet.model.check import Work
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import UNLISTED
from faultnet.sharing.sharing import Here

SYSTEM = "jet-pump-cistern"
NOW = "2026-01-01T00:00:00Z"
LEARNT: frozenset[Kind] = frozenset({"how-common", "strength"})
NOTES = Habits(questions=2, more=3, checks=2, rounds=1)
"""Short notes: a case is met exactly at every pass, and a long one takes seconds."""
UNSEEN = 77
"""The seed of the calls that are not learnt from."""
CALLERS = Manner(complaints=2, questions=2, knows=0.95)
"""How the callers of these calls tell."""
CELLS = 2**18
"""A call that takes more is left out, for everybody alike: it depends on what was told."""
AT_ONCE = 20
TOLD = ("files", "truth")

T = TypeVar("T")


class Asked(msgspec.Struct, frozen=True):
    """What the command line asked for."""

    keep: Path
    cases: tuple[int, ...]
    calls: int
    followed: int
    sigma: float
    passes: int
    workers: int
    docs: Path | None

    @property
    def truth(self) -> Truth:
        """What is so."""
        return truth_of(str(shipped_folder()), SYSTEM, Noise(self.sigma, 1))

    def kept(self, name: str, kind: type[T], make: Callable[[], T]) -> T:
        """Return what a stage came to, from its file where it was done before."""
        path = self.keep / f"{name}.json"
        if path.exists():
            return msgspec.json.decode(path.read_bytes(), type=kind)
        begun = time.perf_counter()
        made = make()
        path.write_bytes(msgspec.json.encode(made, enc_hook=float))
        click.echo(f"{name}: {time.perf_counter() - begun:.0f} s")
        return made


class Figure(msgspec.Struct, frozen=True):
    """One call ranked: the log loss over all causes, and whether one stood among three."""

    log_loss: float
    top_three: float


def written(asked: Asked) -> dict[str, int]:
    """Write the cases, spoilt ones among them; return how many of which kind."""
    spoiling = Spoiling(cause="bladder-ruptured", seed=5)
    most = max(asked.cases)
    cases = imagined_cases(recipe(asked.truth, NOTES, seed=1), 0, most)
    counts = write_spoilt(asked.keep / f"cases-{most}.jsonl", cases, spoiling)
    for fewer in asked.cases:
        if fewer < most:
            with (asked.keep / f"cases-{most}.jsonl").open("rb") as stream:
                lines = list(islice(stream, fewer))
            (asked.keep / f"cases-{fewer}.jsonl").write_bytes(b"".join(lines))
    return dict(counts)


class Learnt(msgspec.Struct, frozen=True):
    """What was learnt from some cases, and what of them was not used."""

    numbers: tuple[Proposed, ...]
    minutes: tuple[Proposed, ...]
    used: int
    aside: tuple[str, ...]
    gains: tuple[float, ...]


def learn(asked: Asked, cases: int) -> Learnt:
    """Learn from the first cases."""
    known, sharing = asked.truth.known(), Here(asked.workers)
    whole = source_of(str(asked.keep / f"cases-{cases}.jsonl"), known.knowledge)
    source = fitted(whole, fit_to(known.knowledge, NOW), sharing, weighed=False)
    counting = Counting(known.knowledge.version)
    at_hand: list[ClosedCase] = []
    for part in source.parts():
        batch = part.read()
        counting.add(batch)
        at_hand += batch.cases
    usable = CasesAtHand(tuple(at_hand))
    rounds = Rounds(most=asked.passes - 1, deep=500)
    found = estimate(known, usable, sharing, LEARNT, rounds=rounds, passed=_passed)
    counting.add_aside(found.set_aside)
    minutes = learn_minutes(known.knowledge, usable, sharing).proposed
    aside = lines_of(counting.tally)
    return Learnt(found.numbers, minutes, found.used, tuple(aside), found.log_posterior)


def _passed(gain: float) -> None:
    click.echo(f"  a pass gained {gain:.1f}")


def subject_of(asked: Asked, who: str) -> Subject:
    """Return the subject that somebody thinks with: the files, the truth, or so many cases."""
    if who == "truth":
        return asked.truth.so()
    known = asked.truth.known()
    if who == "files":
        return known
    cases = int(who)
    found = asked.kept(f"learnt-{cases}", Learnt, lambda: learn(asked, cases))
    subject = learnt(known, found.numbers)
    return replace(subject, knowledge=with_minutes(known.knowledge, found.minutes))


def with_minutes(knowledge: Knowledge, proposed: Sequence[Proposed]) -> Knowledge:
    """Return the knowledge with proposed minutes of checks and repairs."""
    values = {each.number: each.value for each in proposed}

    def put(work: Work) -> Work:
        number = work.minutes
        return replace(work, minutes=replace(number, value=values.get(number, number.value)))

    checks = {k: replace(each, work=put(each.work)) for k, each in knowledge.checks.items()}
    repairs = {k: replace(each, work=put(each.work)) for k, each in knowledge.repairs.items()}
    return replace(knowledge, checks=checks, repairs=repairs)


class Ranking(msgspec.Struct, frozen=True):
    """Ranks unseen calls with a subject."""

    asked: Asked
    subject: Subject

    def __call__(self, first: int) -> list[Figure | None]:
        """Return the figures of some calls; nothing for one that is too much at once."""
        beyond = min(first + AT_ONCE, self.asked.calls)
        return [self._one(number) for number in range(first, beyond)]

    def _one(self, number: int) -> Figure | None:
        call = imagine(self.asked.truth.so(), UNSEEN, number, CALLERS)
        try:
            grounds(self.subject, call.evidence).refuse_beyond(CELLS)
            found = rank(self.subject, call.evidence)
        except TooLargeError:
            return None
        chances = {cause.id: cause.probability for cause in found.causes}
        chances[UNLISTED] = found.unlisted
        names = sorted(chances, key=lambda name: (-chances[name], name))
        came = np.array([name in call.causes for name in names])
        told = np.array([chances[name] for name in names])
        return Figure(log_loss(told, came), float(came[:3].any()))


def figures(asked: Asked, who: str) -> list[Figure | None]:
    """Rank all unseen calls."""
    ranking = Ranking(asked, subject_of(asked, who))
    firsts = range(0, asked.calls, AT_ONCE)
    return [each for some in Here(asked.workers).each(ranking, firsts) for each in some]


def minutes(asked: Asked, who: str) -> list[float]:
    """Follow the tool through unseen calls; return the minutes of each."""
    thinks = subject_of(asked, who)
    trial = Trial(thinks, asked.truth.so(), ("one-step",), asked.followed, seed=UNSEEN)
    kept = Kept(asked.keep / f"trial-{who}.jsonl", trial)
    blocks = kept.all(Here(asked.workers))
    return [outcome.minutes for block in blocks for (outcome,) in block]


def table(
    asked: Asked, ranked: Mapping[str, list[Figure | None]], timed: Mapping[str, list[float]]
) -> str:
    """Return the table, each row with its paired difference from the files."""
    heads = [
        *("numbers", "log loss", "less than the files", "a cause among three, %"),
        *("more than the files", "minutes", "fewer than the files"),
    ]
    rows = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|"]
    whole = [k for k in range(asked.calls) if all(of[k] is not None for of in ranked.values())]
    for who, of in ranked.items():
        values = [_pair(of[k], ranked["files"][k]) for k in whole]
        loss, less, three, more = means(np.array(values))
        row = [_told(loss, 3), _told(less, 3), _told(three, 1, 100.0), _told(more, 1, 100.0)]
        if who in timed:
            pairs = np.array([timed[who], timed["files"]]).T
            spent, fewer = means(np.stack([pairs[:, 0], pairs[:, 1] - pairs[:, 0]], axis=1))
            row += [_told(spent, 0), _told(fewer, 0)]
        name = who if who in TOLD else f"{int(who):,} cases"
        rows.append(f"| {name} | {' | '.join(row)} |")
    rows += ["", f"{len(whole)} calls ranked, {asked.followed} followed to their end."]
    return "\n".join(rows) + "\n"


def _pair(own: Figure | None, files: Figure | None) -> tuple[float, float, float, float]:
    assert own is not None
    assert files is not None
    less, more = files.log_loss - own.log_loss, own.top_three - files.top_three
    return own.log_loss, less, own.top_three, more


def _told(mean: Mean, digits: int, times: float = 1.0) -> str:
    low, middle, high = (f"{v * times:.{digits}f}" for v in (mean.low, mean.mean, mean.high))
    return f"{middle} ({low} to {high})"


def main() -> None:
    """Do every stage that is not kept, then tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--keep", type=Path, required=True)
    parser.add_argument("--cases", type=int, nargs="+", default=[500, 2000, 10_000])
    parser.add_argument("--calls", type=int, default=2000, help="unseen calls that are ranked")
    parser.add_argument("--followed", type=int, default=120, help="of which followed to the end")
    parser.add_argument("--sigma", type=float, default=1.0)
    parser.add_argument("--passes", type=int, default=2)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--docs", type=Path)
    given = vars(parser.parse_args())
    asked = Asked(**{**given, "cases": tuple(sorted(given["cases"]))})
    asked.keep.mkdir(parents=True, exist_ok=True)
    counts = asked.kept("written", dict[str, int], lambda: written(asked))
    click.echo(", ".join(f"{kind} {count}" for kind, count in sorted(counts.items())))
    names = ["files", *map(str, asked.cases), "truth"]
    ranked: dict[str, list[Figure | None]] = {}
    timed: dict[str, list[float]] = {}
    for who in names:
        make = partial(figures, asked, who)
        ranked[who] = asked.kept(f"ranked-{who}", list[Figure | None], make)
    for who in ("files", names[-2], "truth"):
        timed[who] = asked.kept(f"minutes-{who}", list[float], partial(minutes, asked, who))
    for cases in asked.cases:
        found = asked.kept(f"learnt-{cases}", Learnt, partial(learn, asked, cases))
        click.echo(f"{cases}: {found.used} used; {'; '.join(found.aside)}")
    shown = table(asked, ranked, timed)
    click.echo(shown)
    if asked.docs:
        asked.docs.write_text(shown, encoding="utf-8")


if __name__ == "__main__":
    main()
