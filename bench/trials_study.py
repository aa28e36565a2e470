"""How much the tool saves against a fixed chart, also where the files are wrong.

Run ``python bench/trials_study.py --keep DIR``. Imagined calls of a system are gone about by each
policy. The policies know the files as they are; the calls come from a truth that is the files
(``authored``), the files with log-normal noise on their odds and minutes (``noise-0.5``, ``-1``,
``-2``; several draws of each), or the files with causes that whoever thinks has never heard of
(``missing``; the commonest, one for each draw). All policies go about the same calls; told are
means, and paired differences against the chart, with intervals by drawing calls anew.

Every setting is kept in DIR block by block: run it again and it goes on where it was. With
``--docs`` the tables are written as Markdown.
"""

import argparse
import time
from collections.abc import Iterator
from pathlib import Path

import click
import msgspec

from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.learning.altered.noise import Noise
from faultnet.learning.altered.truth import Truth, truth_of
from faultnet.learning.trials.kept import Kept
from faultnet.learning.trials.summary import Mean, Summary, summary
from faultnet.learning.trials.trial import Calls, Trial
from faultnet.network.build import members
from faultnet.sharing.sharing import Here

SYSTEM = "jet-pump-cistern"
SIGMAS = (0.5, 1.0, 2.0)
CHART, KNOWING = "chart", "all-knowing"
POLICIES = ("one-step", CHART, "per-minute", "most-probable", "most-telling", KNOWING)
DEAR = "cheapest-check"
"""A policy that takes many steps, each of them thought about: only where the files are right."""


class Setting(msgspec.Struct, frozen=True):
    """A truth by its name, the draw of it, and the policies that are tried."""

    name: str
    draw: int
    truth: Truth
    policies: tuple[str, ...]


def settings(draws: int, policies: tuple[str, ...]) -> Iterator[Setting]:
    """Yield every setting."""
    folder = str(shipped_folder())
    dear = (DEAR,) if policies == POLICIES else ()
    yield Setting("authored", 0, truth_of(folder, SYSTEM), (*policies, *dear))
    for sigma in SIGMAS:
        for draw in range(draws):
            truth = truth_of(folder, SYSTEM, Noise(sigma, draw))
            yield Setting(f"noise-{sigma:g}", draw, truth, policies)
    for draw, cause in enumerate(_commonest(folder)[:draws]):
        yield Setting("missing", draw, truth_of(folder, SYSTEM, missing=(cause,)), policies)


def _commonest(folder: str) -> list[str]:
    knowledge = load(Path(folder))
    of_system = set(members(knowledge, knowledge.systems[SYSTEM]).causes)
    listed = [cause for cause in knowledge.causes.values() if cause.id in of_system]
    return [c.id for c in sorted(listed, key=lambda c: (-c.how_common.value, c.id))]


def tried(setting: Setting, calls: int, keep: Path, workers: int) -> list[Calls]:
    """Return what came of a setting, taken up where it was left."""
    thinks, truth = setting.truth.known(), setting.truth.so()
    trial = Trial(thinks, truth, setting.policies, calls, seed=1000 + setting.draw)
    path = keep / f"{setting.name}-{setting.draw}.jsonl"
    return list(Kept(path, trial).all(Here(workers)))


def table(name: str, tool: str, found: Summary) -> str:
    """Return what one truth says, as a table."""
    against = {each.policy: each.differences for each in found.against}
    lines = [
        f"### {name} ({found.calls} calls)",
        "",
        "| policy | minutes | less than the chart | trips | second trips | by the specialist |",
        "|---|---|---|---|---|---|",
    ]
    for each in found.policies:
        less = against.get(each.policy)
        means = each.means
        lines.append(
            f"| {each.policy} | {_told(means['minutes'])} "
            f"| {_told(less['minutes'], sign=-1) if less else ''} | {means['trips'].mean:.2f} "
            f"| {_share(means['second_trip'])} | {_share(means['specialist'])} |"
        )
    lines += ["", *_second_trips(tool, found), ""]
    return "\n".join(lines)


def _second_trips(tool: str, found: Summary) -> Iterator[str]:
    for each in found.against:
        if each.policy == tool:
            fewer = each.differences["second_trip"]
            yield (
                f"Second trips of the tool less those of the chart, per 100 calls: "
                f"{100 * fewer.mean:+.1f} ({100 * fewer.low:+.1f} to {100 * fewer.high:+.1f})."
            )


def _told(mean: Mean, sign: int = 1) -> str:
    low, high = sorted((sign * mean.low, sign * mean.high))
    return f"{sign * mean.mean:.0f} ({low:.0f} to {high:.0f})"


def _share(mean: Mean) -> str:
    return f"{100 * mean.mean:.0f} %"


def main() -> None:
    """Try everything; tell every table as it comes."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--keep", type=Path, required=True)
    parser.add_argument("--calls", type=int, default=16, help="of each draw")
    parser.add_argument("--authored", type=int, default=48, help="calls where the files are right")
    parser.add_argument("--draws", type=int, default=3)
    parser.add_argument("--policies", nargs="+", default=POLICIES, help="tool and chart first")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--docs", type=Path)
    asked = parser.parse_args()
    asked.keep.mkdir(parents=True, exist_ok=True)
    pooled: dict[str, list[Calls]] = {}
    for setting in settings(asked.draws, tuple(asked.policies)):
        begun = time.perf_counter()
        calls = asked.authored if setting.name == "authored" else asked.calls
        pooled.setdefault(setting.name, []).extend(tried(setting, calls, asked.keep, asked.workers))
        click.echo(f"{setting.name} {setting.draw}: {time.perf_counter() - begun:.0f} s")
    tool = asked.policies[0]
    tables = [
        table(name, tool, summary(blocks, tuple(asked.policies[1:2])))
        for name, blocks in pooled.items()
    ]
    click.echo("\n".join(tables))
    if asked.docs:
        asked.docs.write_text("\n".join(tables), encoding="utf-8")


if __name__ == "__main__":
    main()
