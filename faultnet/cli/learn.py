"""`learn`: what closed cases say of the numbers; shown, gone through, written when agreed."""

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.output import leave_alone, show, show_json
from faultnet.cli.own_knowledge import refuse_unwritable
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.learning.proposal.prepared import Before
    from faultnet.learning.proposal.proposal import Proposal, Wanted
    from faultnet.learning.source import Source
    from faultnet.sharing.sharing import Sharing

EXAMPLES = """\b
Examples:
  faultnet learn closed.jsonl
  faultnet learn closed.parquet --knowledge my-knowledge
      --what how-common,minutes
  faultnet learn closed.jsonl --knowledge my-knowledge
      --until 2026-09-30 --accept guided
  faultnet learn closed.jsonl --accept clear --write-patch learnt.patch
"""

WHAT = ("how-common", "minutes", "strengths")
SHOWN = 5
"""Numbers of a section on the screen."""
ASIDE = 5
"""Cases that could not be used, named where none could."""
CALLS = 40
"""Simulated calls that are put to the knowledge before and after."""


@dataclass(frozen=True)
class Learning:
    """From which cases, of which system, what is learnt."""

    system: str | None
    what: str
    since: str | None
    until: str | None
    prior: float
    look: int


@dataclass(frozen=True)
class Accepting:
    """What is accepted, and what becomes of it."""

    accept: tuple[str, ...]
    at_once: bool
    patch: Path | None
    replace: bool
    calls: int


@dataclass(frozen=True)
class Showing:
    """How much is shown, and how."""

    limit: int
    as_json: bool


def _what(_ctx: click.Context, _option: click.Parameter, value: str) -> str:
    wrong = [each for each in value.split(",") if each not in WHAT]
    if wrong:
        raise click.BadParameter(f"`{wrong[0][:20]}` is none of {', '.join(WHAT)}.")
    return value


_LEARNING = (
    click.option(
        "--system",
        metavar="SYSTEM",
        shell_complete=complete.systems,
        help="The system to learn about; needed where the cases are about several.",
    ),
    click.option(
        "--what",
        default=",".join(WHAT),
        callback=_what,
        metavar="WHAT,...",
        help=f"What to learn: {', '.join(WHAT)}; without it, all three.",
    ),
    options.since,
    click.option(
        "--until",
        callback=options.day,
        metavar="DAY",
        help="Learn from cases closed on this day or earlier; later ones show what it is worth.",
    ),
    click.option(
        "--prior",
        type=click.FloatRange(0.01, 100.0),
        default=1.0,
        show_default=True,
        metavar="TIMES",
        help="How much the numbers in the files count, times what they usually do.",
    ),
    click.option(
        "--look",
        type=click.IntRange(1, 10_000),
        default=40,
        show_default=True,
        metavar="NUMBER",
        help="Closed cases on which effects are worked out.",
    ),
)
_ACCEPTING = (
    click.option(
        "--accept",
        multiple=True,
        metavar="WHICH",
        help="guided asks number by number; all; clear, those whose range leaves out what "
        "stands in the file; or what a number is called, also just its entry.",
    ),
    click.option("--yes", "at_once", is_flag=True, help="Write without asking once more."),
    click.option(
        "--write-patch",
        "patch",
        type=click.Path(dir_okay=False, path_type=Path),
        metavar="FILE",
        help="Write what is accepted as a patch instead; without --accept, all of it.",
    ),
    options.replace,
    click.option(
        "--calls",
        type=click.IntRange(0, 100_000),
        default=CALLS,
        show_default=True,
        metavar="NUMBER",
        help="Simulated calls that are put to the knowledge before and after.",
    ),
)
_SHOWING = (
    click.option(
        "--limit",
        type=click.IntRange(min=1),
        default=SHOWN,
        show_default=True,
        metavar="NUMBER",
        help="Numbers shown of each section.",
    ),
    options.as_json,
)


@click.command("learn", epilog=EXAMPLES)
@click.argument("cases")
@options.knowledge
@partial(options.gathered, Learning, "learning", _LEARNING)
@partial(options.gathered, Accepting, "accepting", _ACCEPTING)
@partial(options.gathered, Showing, "showing", _SHOWING)
@options.sharing
def command(
    cases: str,
    folder: Path | None,
    learning: Learning,
    accepting: Accepting,
    showing: Showing,
    sharing: "Sharing",
) -> int:
    """Learn from the closed cases in CASES: a file, a folder, a case store or a table.

    Shows which numbers the cases would have otherwise, those first that do most, each with the
    cases for and against it. Nothing is changed unless you accept it: then you see the change
    line by line, what it does to cases and calls, and are asked before it is written.
    """
    from faultnet.cli.closed_source import usable
    from faultnet.cli.learn_written import Writing, wanted_of
    from faultnet.cli.progress import Telling
    from faultnet.learning.proposal.proposal import propose

    where = _where(folder, accepting, as_json=showing.as_json)
    before = _before(where)
    shared = Telling(sharing, "parts")
    source = usable(cases, before.knowledge, shared)
    wanted = wanted_of(learning)
    system = learning.system or _only_system(before, source, wanted, shared)
    found = propose(before.knowledge, system, source, wanted, shared)
    if not found.run.cases:
        return _nothing(before, found, showing)
    writing = Writing(where, before, found, accepting, shared)
    if showing.as_json:
        return writing.as_json()
    _show(before, found, showing)
    if writing.wanted:
        return writing.on_terminal()
    show(["", "Nothing is changed. To go through it number by number: --accept guided"])
    return 0


def _where(folder: Path | None, accepting: Accepting, *, as_json: bool) -> Path:
    """Return the knowledge that is meant; refuse what could not be written in the end."""
    from faultnet.authoring.shipped import shipped_folder

    where = folder or shipped_folder()
    if as_json and "guided" in accepting.accept:
        raise click.UsageError("--json asks nothing: name what to accept instead of guided.")
    if accepting.patch is not None:
        leave_alone([accepting.patch], replace=accepting.replace)
    elif accepting.accept:
        refuse_unwritable(where, "faultnet learn CASES --knowledge my-knowledge --accept ...")
    return where


def _before(where: Path) -> "Before":
    """Return the files as they are; raise ``KnowledgeError`` where they cannot be used."""
    from faultnet.authoring.problem import KnowledgeError, errors
    from faultnet.authoring.whole import whole_of
    from faultnet.learning.proposal.prepared import Before

    whole = whole_of(where)
    knowledge, problems = whole.judged()
    if knowledge is None:
        raise KnowledgeError(errors(problems))
    return Before(whole, knowledge, problems)


def _only_system(before: "Before", source: "Source", wanted: "Wanted", sharing: "Sharing") -> str:
    """Return the system that all cases are about; raise ``UsageError`` for several or none."""
    from faultnet.learning.proposal.chosen import seen

    held = seen(None, source, wanted.span, wanted.look, sharing)
    known = {name: n for name, n in held.systems.items() if name in before.knowledge.systems}
    if len(known) == 1:
        return next(iter(known))
    told = ", ".join(f"{name} ({count})" for name, count in (known or held.systems).items())
    if known:
        raise click.UsageError(f"The cases are about several systems: {told}. Name one: --system.")
    aside = ", ".join(
        f"{n} {code.replace('-', ' ')}" for code, n in sorted(held.aside.counts.items())
    )
    why = f" Set aside: {aside}." if aside else ""
    about = f" They are about {told}." if told else ""
    some = "".join(f"\n  - {each.place}: {each.reason}" for each in held.aside.first(ASIDE))
    raise click.UsageError(f"No case can be learnt from.{about}{why}{some}")


def _nothing(before: "Before", found: "Proposal", showing: Showing) -> int:
    """Tell that there is no case to learn from, and what was set aside."""
    if showing.as_json:
        from faultnet.shapes.learning import learn_shape

        show_json(learn_shape(found, before.knowledge))
    else:
        _show(before, found, showing)
    return PROBLEMS


def _show(before: "Before", found: "Proposal", showing: Showing) -> None:
    from faultnet.cli.learn_shown import proposal_text
    from faultnet.cli.screen import this_screen

    show(proposal_text(this_screen(), before.knowledge, found, showing.limit))
