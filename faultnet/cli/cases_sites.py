"""`cases sites`: where systems stand, what is known of each place for good."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, kept_cases, options
from faultnet.cli.cases import lines_of, moment
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.cases.entry import Entry
    from faultnet.cases.events import AnyEvent
    from faultnet.cases.site import Site
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Store
    from faultnet.cli.screen import Screen
    from faultnet.model.knowledge import Knowledge

_SETTING = re.compile(r"([a-z][a-z0-9-]{0,60})=(-?\d{1,9}(?:\.\d{1,9})?)\s*(\S{0,20})", re.ASCII)

EXAMPLES = """\b
Examples:
  faultnet cases sites
  faultnet cases sites new jet-pump-cistern --name "Mill at Orquay" -l tank=captive-air
  faultnet cases sites show site-h3k9mp --reading hold
  faultnet cases sites edit site-h3k9mp -l check-valve=foot --setting cut-in=30psi
"""


@click.group("sites", epilog=EXAMPLES, invoke_without_command=True)
@options.as_json
@click.pass_context
def sites_command(ctx: click.Context, as_json: bool) -> int | None:
    """List the sites; make one, show one with its readings, or change what is known of it."""
    if ctx.invoked_subcommand is not None:
        return None
    from faultnet.cases.store.listing import sites
    from faultnet.cli.screen import this_screen

    with kept_cases.opened() as store:
        found = sites(store)
    if as_json:
        from faultnet.shapes.cases import listed_shape
        from faultnet.shapes.plain import plain

        show_json({"sites": [plain(listed_shape(each)) for each in found]})
    else:
        screen = this_screen()
        lines = [line for each in found for line in lines_of(screen, each)]
        show(lines or ["No site is kept."])
    return 0


@dataclass(frozen=True)
class Said:
    """What the command line says of a site: texts, not yet looked at."""

    name: str = ""
    address: str = ""
    contact: str = ""
    speaker: str = ""
    layout: tuple[str, ...] = ()
    settings: tuple[str, ...] = ()


_SAID = (
    click.option("--name", default="", help="What it is called."),
    click.option("--address", default="", help="Where it is."),
    click.option("--contact", default="", help="How to reach them."),
    click.option("--speaker", default="", help="Who usually answers there."),
    options.layout,
    click.option(
        "--setting",
        "settings",
        multiple=True,
        metavar="NAME=NUMBERUNIT",
        help="A setting, such as cut-in=30psi.",
    ),
    options.knowledge,
    options.as_json,
)


def _about_site(command: Callable[..., int]) -> Callable[..., int]:
    """Add what can be said of a site; handed on as ``said``."""
    return options.gathered(Said, "said", _SAID, command)


@sites_command.command("new")
@click.argument("system", shell_complete=complete.systems)
@_about_site
def new_command(system: str, said: Said, folder: Path | None, as_json: bool) -> int:
    """Keep a new site."""
    from faultnet.cases.events import SiteBegun

    knowledge = _knowledge(folder)
    events = _events(knowledge, system, said)
    with kept_cases.opened() as store:
        who = kept_cases.writer()
        entries: tuple[Entry, ...] = (who.begin(SiteBegun(system)),)
        for event in events:
            entries = (*entries, who.entry(entries[0].log, event, entries))
        store.append(entries)
        name = entries[0].log
        return _shown(site_at(store, kept_cases.one(store, name, "site"), knowledge), as_json)


@sites_command.command("edit")
@click.argument("site")
@_about_site
def edit_command(site: str, said: Said, folder: Path | None, as_json: bool) -> int:
    """Change what is known of a site; what is not mentioned stays."""
    from faultnet.cli.cases_events import append

    knowledge = _knowledge(folder)
    with kept_cases.opened() as store:
        listed = kept_cases.one(store, site, "site")
        events = _events(knowledge, listed.system, said)
        if not events:
            raise click.UsageError("Say what is to change: --name, -l, --setting ...")
        append(store, listed.id, events)
        return _shown(site_at(store, listed, knowledge), as_json)


@sites_command.command("show")
@click.argument("site")
@click.option("--reading", metavar="READING", help="Only this reading, all of it.")
@options.knowledge
@options.as_json
def show_command(site: str, reading: str | None, folder: Path | None, as_json: bool) -> int:
    """Show a site: layout, settings, cases, and readings in order of time."""
    from msgspec.structs import replace

    with kept_cases.opened() as store:
        knowledge = _knowledge(folder)
        found = site_at(store, kept_cases.one(store, site, "site"), knowledge)
    if reading:
        from faultnet.advice.subject import UnknownNameError

        if reading not in knowledge.readings:
            raise UnknownNameError("reading", reading, list(knowledge.readings))
        found = replace(found, readings=tuple(r for r in found.readings if r.reading == reading))
    return _shown(found, as_json)


def site_at(store: "Store", listed: "Listed", knowledge: "Knowledge") -> "Site":
    """Return where a site stands, with its cases; raise ``StoreError``."""
    from functools import partial

    from faultnet.advice.subject import make_subject
    from faultnet.cases.store import at_site

    known = partial(make_subject, knowledge)
    return at_site.site_at(store, listed.id, known, knowledge.systems)


def _knowledge(folder: Path | None) -> "Knowledge":
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load

    return load(folder or shipped_folder())


def _events(knowledge: "Knowledge", system: str, said: Said) -> "list[AnyEvent]":
    from faultnet.cases.events import Named, Setting, Told
    from faultnet.cli.cases_events import checked

    events: list[AnyEvent] = []
    customer = (said.name, said.address, said.contact, said.speaker)
    named = Named(*map(checked, customer))
    if named != Named():
        events.append(named)
    events += [Told(*each) for each in _layout(knowledge, system, said.layout)]
    for text in said.settings:
        found = _SETTING.fullmatch(text.strip())
        if not found:
            raise click.UsageError(f"`{text[:40]}` is not understood: NAME=NUMBERUNIT.")
        events.append(Setting(found[1], float(found[2]), found[3]))
    return events


def _layout(knowledge: "Knowledge", system: str, texts: tuple[str, ...]) -> list[tuple[str, str]]:
    from faultnet.advice.subject import UnknownNameError

    if system not in knowledge.systems:
        raise UnknownNameError("system", system, list(knowledge.systems))
    known = knowledge.systems[system].layout
    told = []
    for text in texts:
        about, _, value = text.partition("=")
        if about not in known:
            raise UnknownNameError("layout", about, list(known))
        if value not in known[about]:
            raise UnknownNameError(f"value of {about} here", value, list(known[about]))
        told.append((about, value))
    return told


def _shown(site: "Site", as_json: bool) -> int:
    from faultnet.cli.screen import this_screen

    if as_json:
        from faultnet.shapes.site import site_shape

        show_json(site_shape(site))
    else:
        show(_lines(this_screen(), site))
    return 0


def _lines(screen: "Screen", site: "Site") -> list[str]:
    customer = (site.name, site.address, site.contact)
    told = [site.system, *filter(None, customer)]
    told += [f"Usually answers: {site.speaker}"] if site.speaker else []
    told += [f"{about}: {value}" for about, value in site.layout.items()]
    told += [f"{n}: {s.value:g} {s.unit} ({s.at[:10]})" for n, s in site.settings.items()]
    told += [f"Note: {note}" for note in site.notes]
    lines = [screen.bold(site.id), *(line for text in told for line in screen.wrap(text, 2))]
    for conflict in site.conflicts:
        said = "; ".join(f"{voice.author}: {voice.value}" for voice in conflict.said)
        lines += screen.wrap(f"Told differently: {conflict.about} ({said})", 2, "!")
    if site.cases:
        lines += ["", screen.bold("Cases")]
    for case in site.cases:
        follows = f", follows {', '.join(case.follows)}" if case.follows else ""
        lines += screen.wrap(f"{case.id}: {case.ended or 'open'}{follows}", 2)
    if site.readings:
        lines += ["", screen.bold("Readings")]
    for each in site.readings:
        numbers = ", ".join(f"{part} {value:g}" for part, value in each.parts.items())
        lines += screen.wrap(f"{moment(each.at)}  {each.reading}: {numbers}", 2)
    return lines
