"""`visit`: from the first question to the mended cause, guided."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, kept_visits, options
from faultnet.cli.output import CannotWriteError, show, show_json

if TYPE_CHECKING:
    from faultnet.cli.conversation import Conversation
    from faultnet.model.knowledge import Knowledge
    from faultnet.visit.kept import Kept
    from faultnet.visit.log import Log
    from faultnet.visit.visit import Visit

EXAMPLES = """\b
Examples:
  faultnet visit
  faultnet visit jet-pump-cistern
  faultnet visit --resume
  faultnet visit --list
"""


@click.command("visit", epilog=EXAMPLES)
@click.argument("system", required=False, shell_complete=complete.systems)
@click.option("--resume", is_flag=True, help="Go on with the last visit that is not finished.")
@click.option("--case", "case", metavar="ID", help="Go on with this visit, or look at its end.")
@click.option("--list", "listing", is_flag=True, help="List the visits that are kept.")
@click.option(
    "--who",
    type=click.Choice(["technician", "qualified"]),
    default="technician",
    show_default=True,
    help="Who is there to do the work.",
)
@options.knowledge
@options.as_json
def command(
    system: str | None,
    resume: bool,
    case: str | None,
    listing: bool,
    who: str,
    folder: Path | None,
    as_json: bool,
) -> int:
    """Guide a visit at the pump: dangers, layout, what is seen, then step after step.

    One key answers a question. Every answer is kept at once; stop when you like and go on
    later. --json shows what is due instead of asking.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.visit.kept import CannotKeepError

    if (resume or case or listing) and system:
        raise click.UsageError("SYSTEM begins a new visit; leave it out here.")
    if as_json and not (resume or case or listing):
        raise click.UsageError("--json goes with --list, --resume or --case.")
    try:
        if listing:
            return kept_visits.listed(as_json=as_json)
        knowledge = load(folder or shipped_folder())
        if resume or case:
            return _go_on(knowledge, case, as_json=as_json)
        return _begin(knowledge, system, who)
    except CannotKeepError as error:
        raise CannotWriteError(str(error)) from error


def _begin(knowledge: "Knowledge", system: str | None, who: str) -> int:
    from faultnet.advice.subject import make_subject
    from faultnet.cli.conversation import Conversation
    from faultnet.visit.events import Opened
    from faultnet.visit.log import new_log
    from faultnet.visit.turn import Reply
    from faultnet.visit.visit import opening, visit_of

    talker = Conversation()
    note = kept_visits.unfinished()
    opened = Opened(system, who, knowledge=knowledge.version) if system else None
    while opened is None:
        reply = talker.ask(opening(knowledge, who), note)
        if not isinstance(reply, Reply) or not isinstance(reply.event, Opened):
            return 0
        opened, note = reply.event, ""
    visit = visit_of(make_subject(knowledge, opened.system), (opened,))
    log = new_log(kept_visits.folder())
    log.append(opened)
    return _hold(talker, visit, log, note)


def _go_on(knowledge: "Knowledge", case: str | None, *, as_json: bool) -> int:
    from faultnet.advice.subject import make_subject
    from faultnet.cli.conversation import Conversation
    from faultnet.visit.log import open_log
    from faultnet.visit.visit import visit_of

    kept = kept_visits.find(case)
    log = None if as_json else open_log(kept_visits.folder(), kept.id)
    kept = kept_visits.find(kept.id)  # once more, now that nobody else writes to it
    assert kept.opened is not None
    visit = visit_of(make_subject(knowledge, kept.opened.system), kept.events)
    if log is None:
        show_json({**kept_visits.shape(kept), "turn": _turn_shape(visit)})
        return 0
    return _hold(Conversation(), visit, log, _notice(kept, visit))


def _hold(talker: "Conversation", visit: "Visit", log: "Log", note: str) -> int:
    try:
        visit = talker.hold(visit, log, note)
    except KeyboardInterrupt:
        _say_kept(log.id)
        raise
    finally:
        log.close()
    if not visit.over:
        _say_kept(log.id)
    return 0


def _say_kept(name: str) -> None:
    show(["", f"Kept as {name}. Go on with: faultnet visit --case {name}"])


def _notice(kept: "Kept", visit: "Visit") -> str:
    from faultnet.visit.fits import fits

    told = [f"Going on with {kept.id}."]
    subject = visit.talk.subject
    unfit = sum(not fits(subject, event) for event in kept.events)
    if kept.lost:
        told.append(f"{kept.lost} damaged line(s) could not be read: look at the last answers.")
    if unfit:
        told.append(f"{unfit} answer(s) no longer fit the knowledge and are left out.")
    return " ".join(told)


def _turn_shape(visit: "Visit") -> object:
    import msgspec

    return msgspec.to_builtins(visit.turn)
