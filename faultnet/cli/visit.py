"""`visit`: from the first question to the mended cause, guided."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, kept_cases, options
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.cases.events import Opened
    from faultnet.cases.store.keeping import Keeping
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Store
    from faultnet.cli.conversation import Conversation
    from faultnet.model.knowledge import Knowledge
    from faultnet.visit.visit import Visit

EXAMPLES = """\b
Examples:
  faultnet visit
  faultnet visit jet-pump-cistern
  faultnet visit --resume
  faultnet visit --resume k7m2p
  faultnet visit --site site-h3k9mp
  faultnet visit jet-pump-cistern --own-view
"""

AHEAD = 1.0
"""Seconds that may be spent on each step to look further ahead."""
FROM_PHONE = 6
"""Cases from the phone that are listed."""
LAST = "-"
"""What stands for the case that was touched last."""


@dataclass(frozen=True)
class Wanted:
    """How a visit is to begin or to go on."""

    site: str | None
    follows: str | None
    who: str | None
    own_view: bool


_WANTED = (
    click.option("--site", metavar="SITE", help="The site where the pump stands."),
    click.option("--follows", metavar="CASE", help="The case that this one is a call-back of."),
    click.option(
        "--who",
        type=click.Choice(["technician", "qualified"]),
        help="Who is there to do the work; at first a technician.",
    ),
    click.option(
        "--own-view",
        is_flag=True,
        help="A second opinion: show no ranking until you have named what you suspect.",
    ),
)


def _wanted(command: options.Command) -> options.Command:
    return options.gathered(Wanted, "wanted", _WANTED, command)


@click.command("visit", epilog=EXAMPLES)
@click.argument("system", required=False, shell_complete=complete.systems)
@click.option(
    "--resume",
    "case",
    is_flag=False,
    flag_value=LAST,
    metavar="[CASE]",
    help="Go on with this case, or look at its end; without CASE with the last open one.",
)
@_wanted
@options.knowledge
@options.as_json
def command(
    system: str | None, case: str | None, wanted: Wanted, folder: Path | None, as_json: bool
) -> int:
    """Guide a visit at the pump, from arrival to the closed case.

    Dangers first, the state as found, the installation, what is wrong, then step after step.
    One key answers a question. Every answer is kept at once; stop when you like and go on
    later. Without SYSTEM the cases from the phone are listed as well. --json shows what is
    due instead of asking. `faultnet cases` lists the cases.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load

    if case and (system or wanted.site or wanted.follows):
        raise click.UsageError("SYSTEM, --site and --follows begin a new case; not with --resume.")
    if as_json and not case:
        raise click.UsageError("--json goes with --resume.")
    knowledge = load(folder or shipped_folder())
    with kept_cases.opened() as store:
        if case:
            return _go_on(store, knowledge, case, wanted, as_json=as_json)
        return _Beginning(store, knowledge, wanted).begin(system)


class _Beginning:
    """A case that is about to begin."""

    def __init__(self, store: "Store", knowledge: "Knowledge", wanted: Wanted) -> None:
        self._store, self._knowledge, self._wanted = store, knowledge, wanted
        self._who = wanted.who or "technician"

    def begin(self, system: str | None) -> int:
        from faultnet.cli.conversation import Conversation

        site, follows = self._wanted.site, self._wanted.follows
        place = kept_cases.one(self._store, site, "site") if site else None
        before = kept_cases.one(self._store, follows) if follows else None
        system = system or (place.system if place else before.system if before else None)
        talker, note = Conversation(), _unfinished(self._store)
        opened = self._opened(system) if system else None
        if opened is None:
            reply = self._asked(talker, note)
            if isinstance(reply, str):
                return _go_on(self._store, self._knowledge, reply, self._wanted, as_json=False)
            opened, note = reply, ""
        if opened is None:
            return 0
        return self._hold(talker, self._at_site(opened, place, before), note)

    def _opened(self, system: str) -> "Opened":
        from faultnet.cases.events import Opened

        return Opened(system, self._who, knowledge=self._knowledge.version)

    def _at_site(
        self, opened: "Opened", place: "Listed | None", before: "Listed | None"
    ) -> "Opened":
        from msgspec.structs import replace

        layout: dict[str, str] = {}
        settings: dict[str, str] = {}
        if place:
            from faultnet.cli.cases_sites import site_at

            stands = site_at(self._store, place, self._knowledge)
            layout = stands.layout
            settings = {name: f"{s.value:g}{s.unit}" for name, s in stands.settings.items()}
        return replace(
            opened,
            site=place.id if place else before.site if before else "",
            follows=before.id if before else "",
            layout=layout,
            settings=settings,
        )

    def _hold(self, talker: "Conversation", opened: "Opened", note: str) -> int:
        from faultnet.advice.subject import make_subject
        from faultnet.cases.store.keeping import Keeping
        from faultnet.visit.visit import visit_of

        writer = kept_cases.writer()
        subject = make_subject(self._knowledge, opened.system)
        visit = visit_of(subject, (writer.begin(opened),), writer, AHEAD)
        keeping = Keeping(self._store, visit.id)
        keeping.keep(visit.entries[0])
        return _hold(talker, _with_own_view(visit, keeping, self._wanted), keeping, note)

    def _asked(self, talker: "Conversation", note: str) -> "Opened | str | None":
        """Return the system that was chosen, or the case from the phone, or nothing."""
        from faultnet.cases.events import Opened
        from faultnet.cases.store.from_phone import from_phone
        from faultnet.visit.turn import Reply
        from faultnet.visit.visit import opening

        waiting = {each.id: _named(each) for each in from_phone(self._store)[:FROM_PHONE]}
        reply = talker.ask(opening(self._knowledge, self._who, waiting), note)
        if isinstance(reply, Reply) and reply.view.startswith("case:"):
            return reply.view.removeprefix("case:")
        event = reply.event if isinstance(reply, Reply) else None
        return event if isinstance(event, Opened) else None


def _named(case: "Listed") -> str:
    """How a case from the phone is named in a list."""
    return f"{case.name or case.id}, {case.touched[:16].replace('T', ' ')} (UTC)"


def _with_own_view(visit: "Visit", keeping: "Keeping", wanted: Wanted) -> "Visit":
    """Return the visit with a view of one's own first, where that is wanted."""
    from faultnet.cases.events import OwnViewFirst

    if not wanted.own_view or visit.at.own_view:
        return visit
    visit = visit.after(OwnViewFirst())
    keeping.keep(visit.entries[-1])
    return visit


def _go_on(
    store: "Store", knowledge: "Knowledge", case: str, wanted: Wanted, *, as_json: bool
) -> int:
    from faultnet.advice.subject import make_subject
    from faultnet.cases.store.keeping import Keeping
    from faultnet.cli.conversation import Conversation
    from faultnet.visit.visit import visit_of

    listed = _last_open(store) if case == LAST else kept_cases.one(store, case)
    if not listed.system:
        raise click.UsageError(f"How {listed.id} was opened is not known; it cannot go on.")
    subject = make_subject(knowledge, listed.system)
    log = store.read(listed.id)
    visit = visit_of(subject, log.entries, kept_cases.writer(), AHEAD)
    if as_json:
        from faultnet.shapes.cases import case_shape
        from faultnet.shapes.plain import plain

        show_json({**plain(case_shape(visit.at.case, log)), "turn": _turn_shape(visit)})
        return 0
    note, keeping = _notice(visit, log.unread), Keeping(store, visit.id, log.place)
    if not visit.over:
        visit = _with_own_view(_joined(visit, keeping, wanted.who), keeping, wanted)
    return _hold(Conversation(), visit, keeping, note)


def _joined(visit: "Visit", keeping: "Keeping", who: str | None) -> "Visit":
    """Return the visit with a word about who takes it up, where that is somebody else."""
    from faultnet.cases.events import Joined
    from faultnet.visit.visit import visit_of

    before = visit.at.case.sittings.get(visit.writer.author)
    if before and before.speaker == "technician" and who in {None, before.who}:
        return visit
    subject = visit.talk.subject
    visit = visit.after(Joined(who or "technician", knowledge=subject.knowledge.version))
    others = keeping.keep(visit.entries[-1])
    return visit_of(subject, (*visit.entries, *others), visit.writer, AHEAD)


def _hold(talker: "Conversation", visit: "Visit", keeping: "Keeping", note: str) -> int:
    try:
        visit = talker.hold(visit, keeping, note)
    except KeyboardInterrupt:
        _say_kept(visit.id)
        raise
    if not visit.over:
        _say_kept(visit.id)
    return 0


def _say_kept(name: str) -> None:
    show(["", f"Kept as {name}. Go on with: faultnet visit --resume {name}"])


def _last_open(store: "Store") -> "Listed":
    from faultnet.cases.store.listing import cases

    found = [each for each in cases(store, ended=False) if each.system]
    if not found:
        raise click.UsageError("There is no open case. Begin one: faultnet visit")
    return found[0]


def _unfinished(store: "Store") -> str:
    """Return a remark about the case that was left last, or nothing."""
    from faultnet.cases.store.listing import cases

    found = [each for each in cases(store, ended=False) if each.system]
    return f"Not finished: {found[0].id}. It goes on with --resume." if found else ""


def _notice(visit: "Visit", unread: int) -> str:
    case = visit.at.case
    told = [f"Going on with {case.id}."]
    if unread:
        told.append(f"{unread} event(s) could not be read: look at the last answers.")
    if case.unfit:
        told.append(f"{case.unfit} answer(s) no longer fit the knowledge and are left out.")
    if case.missing:
        told.append(f"{case.missing} event(s) of somebody else have not arrived yet.")
    if case.conflicts:
        told.append(f"{len(case.conflicts)} thing(s) were told differently by two people.")
    return " ".join(told)


def _turn_shape(visit: "Visit") -> object:
    import msgspec

    return msgspec.to_builtins(visit.turn)
