"""`report`: the service report of a case, to hand over or to keep."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from faultnet.cli import kept_accounts, kept_cases, options
from faultnet.cli.output import CannotWriteError, leave_alone, show, show_json, write_file

if TYPE_CHECKING:
    from faultnet.advice.subject import Subject
    from faultnet.report.words import Audience
    from faultnet.writing.document import Document

EXAMPLES = """\b
Examples:
  faultnet report k7m2p
  faultnet report k7m2p -o report.pdf
  faultnet report k7m2p --for office -o office.html
"""

SUFFIXES = {".md": "md", ".html": "html", ".htm": "html", ".pdf": "pdf"}


@dataclass(frozen=True)
class Wanted:
    """Which copy of a report is wanted, and where and how it is written."""

    form: str | None
    out: Path | None
    audience: str
    paper: str
    replace: bool


_WANTED = (
    click.option(
        "--format",
        "form",
        type=click.Choice(["md", "html", "pdf"]),
        help="The format; by the suffix of FILE where it is not said, else md.",
    ),
    click.option(
        "-o", "--out", type=click.Path(path_type=Path), metavar="FILE", help="The file to write."
    ),
    click.option(
        "--for",
        "audience",
        type=click.Choice(["customer", "office"]),
        default="customer",
        show_default=True,
        help="Whose copy; the office has notes, ids and rankings besides.",
    ),
    click.option(
        "--paper",
        type=click.Choice(["a4", "letter"]),
        default="a4",
        show_default=True,
        help="Of a PDF.",
    ),
    options.replace,
)


def _asked(command: Callable[..., int]) -> Callable[..., int]:
    """Add what says which report is wanted; handed on as ``wanted``."""
    return options.gathered(Wanted, "wanted", _WANTED, command)


@click.command("report", epilog=EXAMPLES)
@click.argument("case", metavar="CASE")
@_asked
@options.knowledge
@options.as_json
def command(case: str, wanted: Wanted, folder: Path | None, as_json: bool) -> int:
    """Write the service report of a case, which is named by its id or a part of it.

    Everything in it comes from the case and the knowledge; what is not known is left
    out, or said to be not taken. Without -o it goes to standard output. --json gives its
    parts as JSON; with -o, it tells what was written.
    """
    out, paper = wanted.out, wanted.paper
    form = wanted.form or (SUFFIXES.get(out.suffix.lower(), "md") if out else "md")
    if form == "pdf" and out is None and not as_json:
        raise click.UsageError("A PDF is not for the screen. Name a file: -o report.pdf")
    leave_alone([out] if out else [], replace=wanted.replace)
    name, document = _document(case, wanted.audience, folder)
    if out is None:
        if as_json:
            from faultnet.shapes.report import report_shape

            show_json(report_shape(name, document))
        else:
            show([_text(document, form, paper).decode().rstrip("\n")])
        return 0
    text = _text(document, form, paper)
    write_file(out, text)
    if as_json:
        told = {"case": name, "for": wanted.audience, "file": str(out), "format": form}
        show_json({**told, "bytes": len(text)})
    else:
        show([f"The report on {name} is written to {out}."])
    return 0


def _document(case: str, audience: str, folder: Path | None) -> "tuple[str, Document]":
    from faultnet.cases.site import site_of
    from faultnet.report.report import service_report

    with kept_cases.opened() as store:
        listed = kept_cases.one(store, case)
        log = store.read(listed.id)
        kept = store.read(listed.site) if listed.site else None
        kept_accounts.note(store, "case exported", listed.id)
    if not listed.system or not log.entries:
        raise click.UsageError(f"How {listed.id} was opened is not known.")
    subject = _subject(listed.id, listed.system, folder)
    site = site_of(listed.site, kept.entries) if kept else None
    unread = log.unread + (kept.unread if kept else 0)
    copy = cast("Audience", audience)
    return listed.id, service_report(subject, log.entries, site, copy, unread)


def _subject(case: str, system: str, folder: Path | None) -> "Subject":
    from faultnet.advice.subject import UnknownNameError, make_subject
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load

    try:
        return make_subject(load(folder or shipped_folder()), system)
    except UnknownNameError as error:
        raise click.UsageError(
            f"{case} is about the system `{system[:80]}`, which this knowledge does not hold. "
            "Give the folder that does: --knowledge FOLDER"
        ) from error


def _text(document: "Document", form: str, paper: str) -> bytes:
    from faultnet.writing.written import written

    try:
        return written(document, form, paper)
    except ImportError as error:
        message = "A PDF needs the package fpdf2 (pip install fpdf2); html and md do not."
        raise CannotWriteError(message) from error
