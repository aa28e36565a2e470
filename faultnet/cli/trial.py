"""`trial`: policies tried on the same imagined or recorded calls."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.output import leave_alone, show, show_json

if TYPE_CHECKING:
    from faultnet.learning.source import SetAside
    from faultnet.learning.trials.trial import Calls, Trial
    from faultnet.sharing.sharing import Sharing

EXAMPLES = """\b
Examples:
  faultnet trial jet-pump-cistern --calls 200 --policy quick --policy chart
  faultnet trial jet-pump-cistern --calls 1000 --seed 7 --resume trial.jsonl
  faultnet trial jet-pump-cistern --replay closed-cases.jsonl --policy one-step
      --policy chart --against chart
  faultnet trial jet-pump-cistern --knowledge-of-the-world altered/ --policy quick
      --policy all-knowing
"""
USUAL = ("quick", "chart", "per-minute", "all-knowing")
"""Policies that are tried where none is named."""
FILE = click.Path(dir_okay=False, path_type=Path)


@dataclass(frozen=True)
class Settings:
    """Which calls, and how they go."""

    calls: int
    seed: int
    policies: tuple[str, ...]
    against: tuple[str, ...]
    phone: bool
    refuses: float
    world: Path | None
    replay: str | None

    @property
    def named(self) -> tuple[str, ...]:
        """The policies, each once, those that are compared with among them."""
        return tuple(dict.fromkeys((*(self.policies or USUAL), *self.against)))

    @property
    def rivals(self) -> tuple[str, ...]:
        """What is compared with: the chart where nothing else is named."""
        charts = tuple(n for n in self.named if n.partition(":")[0] == "chart")
        return self.against or charts[:1] or self.named[:1]


_SETTINGS = (
    click.option(
        "--calls",
        type=click.IntRange(1, 10_000_000),
        default=100,
        show_default=True,
        metavar="N",
        help="How many calls; of recorded ones, at most.",
    ),
    click.option(
        "--seed",
        type=click.IntRange(0),
        default=0,
        show_default=True,
        metavar="S",
        help="The calls of another seed are others.",
    ),
    click.option(
        "--policy",
        "policies",
        multiple=True,
        metavar="POLICY",
        help=f"Who says what to do next; {', '.join(USUAL)} where none is named. docs/trial.md "
        "has them all.",
    ),
    click.option(
        "--against",
        multiple=True,
        metavar="POLICY",
        help="Tell what each policy saves against this one; without it, the chart.",
    ),
    click.option(
        "--phone/--no-phone",
        default=True,
        help="Whether the caller is asked to do anything before somebody drives.",
    ),
    click.option(
        "--refuses",
        type=click.FloatRange(0.0, 1.0),
        default=0.25,
        show_default=True,
        metavar="CHANCE",
        help="How often a caller says no to what is asked of him.",
    ),
    click.option(
        "--knowledge-of-the-world",
        "world",
        type=options.FOLDER,
        metavar="FOLDER",
        help="Draw the calls from this knowledge; the policies do not know it.",
    ),
    click.option(
        "--replay",
        metavar="CASES",
        help="Take recorded cases: a file, a folder or a store of closed cases.",
    ),
)


@dataclass(frozen=True)
class Keeping:
    """Where a trial is kept, and how it is told."""

    resume: Path | None
    out: Path | None
    replace: bool
    as_json: bool


_KEEPING = (
    click.option(
        "--resume",
        type=FILE,
        metavar="FILE",
        help="Keep every block of calls here, and go on where the file ends.",
    ),
    click.option(
        "--out",
        type=FILE,
        metavar="FILE",
        help="Write the calls under the first policy as closed cases (.jsonl, .parquet).",
    ),
    options.replace,
    options.as_json,
)


@click.command("trial", epilog=EXAMPLES)
@click.argument("system", shell_complete=complete.systems)
@partial(options.gathered, Settings, "settings", _SETTINGS)
@options.knowledge
@options.sharing
@partial(options.gathered, Keeping, "keeping", _KEEPING)
def command(
    system: str, settings: Settings, folder: Path | None, sharing: "Sharing", keeping: Keeping
) -> int:
    """Try policies on the same calls of SYSTEM, and tell what each costs.

    Every call is gone about to its end: on the phone, at the pump, with what is on the
    truck, until it works or somebody else takes over. All policies meet the same sites, and
    whoever asks the same gets the same answer.
    """
    from faultnet.shapes.trial import trial_shape

    if keeping.out is not None:
        leave_alone([keeping.out], replace=keeping.replace)
    with _told_plainly():
        trial, aside = _trial(system, settings, folder)
        blocks = _blocks(trial, sharing, keeping.resume)
        if keeping.out is not None:
            _write(trial, blocks, keeping.out)
    shape = trial_shape(trial, blocks, settings.rivals, aside)
    if keeping.as_json:
        show_json(shape)
        return 0
    from faultnet.cli.screen import this_screen
    from faultnet.cli.trial_shown import text

    show(text(this_screen(), trial.truth, shape))
    return 0


def _trial(
    system: str, settings: Settings, folder: Path | None
) -> "tuple[Trial, tuple[SetAside, ...]]":
    from faultnet.advice.subject import make_subject
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.learning.trials.customs import Customs
    from faultnet.learning.trials.policies.named import policy_of
    from faultnet.learning.trials.recorded import recorded
    from faultnet.learning.trials.trial import Trial

    for name in settings.named:
        policy_of(name)
    thinks = make_subject(load(folder or shipped_folder()), system)
    truth = make_subject(load(settings.world), system) if settings.world else thinks
    cases, aside = recorded(settings.replay, truth) if settings.replay else ((), ())
    customs = Customs(phone=settings.phone, refuses=settings.refuses)
    trial = Trial(thinks, truth, settings.named, settings.calls, settings.seed, customs, cases)
    return trial, aside


def _blocks(trial: "Trial", sharing: "Sharing", resume: Path | None) -> "list[Calls]":
    from faultnet.cli.progress import told
    from faultnet.learning.trials.kept import Kept
    from faultnet.learning.trials.trial import BLOCK

    if resume is None:
        found = trial.done(sharing)
    else:
        kept = Kept(resume, trial)
        if kept.again:
            click.echo(kept.again, err=True)
        found = kept.all(sharing)
    return list(told(found, len(trial.blocks), f"blocks of {BLOCK} calls"))


def _write(trial: "Trial", blocks: "list[Calls]", out: Path) -> None:
    from faultnet.cli.extra import needed
    from faultnet.learning.reading.written import write_cases
    from faultnet.learning.trials.as_closed import as_closed

    first = (call[0] for block in blocks for call in block)
    with needed("cluster"):
        write_cases(out, (as_closed(o, trial.thinks, trial.truth, trial.seed) for o in first))


@contextmanager
def _told_plainly() -> Iterator[None]:
    """Tell of what cannot be tried instead of failing over it."""
    from faultnet.learning.reading.trouble import SourceError
    from faultnet.learning.trials.call import NoCallError
    from faultnet.learning.trials.kept import OtherTrialError
    from faultnet.learning.trials.policies.named import UnknownPolicyError
    from faultnet.learning.trials.recorded import NothingToReplayError

    try:
        yield
    except (
        NoCallError,
        NothingToReplayError,
        OtherTrialError,
        SourceError,
        UnknownPolicyError,
    ) as error:
        raise click.UsageError(str(error)) from None
