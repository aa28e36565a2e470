"""`cases show`: where one case stands, and its events."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_cases, options
from faultnet.cli.cases import moment, named
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.advice.subject import Subject
    from faultnet.cases.case import Case
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Log
    from faultnet.cli.screen import Screen


@click.command("show")
@named
@options.knowledge
@options.as_json
def show_command(case: str, folder: Path | None, as_json: bool) -> int:
    """Show where a case stands: what is known, what is in conflict, what happened."""
    from faultnet.advice.subject import make_subject
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cases.fold import fold

    with kept_cases.opened() as store:
        listed = kept_cases.one(store, case)
        log = store.read(listed.id)
    if not listed.system:
        raise click.UsageError(f"How {listed.id} was opened is not known.")
    subject = make_subject(load(folder or shipped_folder()), listed.system)
    folded = fold(subject, log.entries)
    if as_json:
        from faultnet.shapes.cases import case_log_shape

        show_json(case_log_shape(folded, log))
    else:
        from faultnet.cli.screen import this_screen

        show(_lines(this_screen(), subject, listed, folded, log))
    return 0


def _lines(
    screen: "Screen", subject: "Subject", listed: "Listed", case: "Case", log: "Log"
) -> list[str]:
    from faultnet.visit.told import HOW

    where = " ".join(filter(None, (listed.name, case.site and f"({case.site})")))
    told = [
        subject.system.title,
        f"Site: {where}" if where else "No site",
        *(f"Follows: {name}" for name in case.follows),
        HOW.get(case.ended, case.ended) or "Open",
        f"Begun {moment(case.begun)}, last written {moment(case.touched)} by {case.last}",
    ]
    lines = [screen.bold(case.id), *(line for text in told for line in screen.wrap(text, 2))]
    for remark in _remarks(case, log):
        lines += screen.wrap(remark, 2, "!")
    for conflict in _conflicts(subject, case):
        lines += ["", *map(screen.alarm, screen.wrap(conflict[0]))]
        lines += [line for text in conflict[1:] for line in screen.wrap(text, 2, "-")]
    return [*lines, "", *_events(screen, subject, case)]


def _remarks(case: "Case", log: "Log") -> list[str]:
    counts = (
        (log.unread, "event(s) could not be read: damaged, or of a newer faultnet"),
        (case.unfit, "event(s) no longer fit the knowledge and are left out"),
        (case.missing, "event(s) of somebody else have not arrived yet"),
    )
    return [f"{number} {what}." for number, what in counts if number]


def _conflicts(subject: "Subject", case: "Case") -> list[list[str]]:
    from faultnet.visit.unsettled import unsettled

    return [
        [
            f"Told differently: {each.title}" if each.kind == "said" else f"{each.title}.",
            *(f"{v.author} ({v.by}), {moment(v.at)}: {v.words}" for v in each.said),
        ]
        for each in unsettled(subject, case)
    ]


def _events(screen: "Screen", subject: "Subject", case: "Case") -> list[str]:
    from faultnet.visit.history import history

    lines: list[str] = []
    number = day = None
    for each in history(subject, case):
        if each.round != number and case.evidence.rounds[1:]:
            number = each.round
            lines.append(screen.bold(f"Round {number + 1}"))
        if each.at[:10] != day:
            day = each.at[:10]
            lines.append(screen.dim(f"{day} (UTC)"))
        lines += screen.wrap(f"{each.text}  [{each.author}]", 7, each.at[11:16])
    return lines
