"""Errors as people and programs are told of them: an exit code, a kind, a message."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from faultnet.inference.engine import TooLargeError

PROBLEMS = 1
NOT_UNDERSTOOD = 2
OUR_FAULT = 3
INTERRUPTED = 130


@dataclass(frozen=True)
class Refusal:
    """Why there is no answer; ``more`` holds further fields of the JSON error."""

    code: int
    kind: str
    message: str
    hint: str = ""
    more: dict[str, Any] = field(default_factory=dict)


def refusal_of(error: Exception) -> Refusal | None:
    """Return how an error is told, or None for one that is a fault of ours."""
    if isinstance(error, click.ClickException):
        return _click(error)
    for tell in (
        _output,
        _network,
        _knowledge,
        _adding,
        _advice,
        _version,
        _cases,
        _sharing,
        _making,
    ):
        refusal = tell(error)
        if refusal:
            return refusal
    return None


def _click(error: click.ClickException) -> Refusal:
    ctx = getattr(error, "ctx", None)
    hint = f"See {ctx.command_path} --help" if ctx else ""
    return Refusal(NOT_UNDERSTOOD, "usage", error.format_message(), hint)


def _output(error: Exception) -> Refusal | None:
    from faultnet.cli.output import CannotWriteError

    if isinstance(error, CannotWriteError):
        return Refusal(PROBLEMS, error.kind, str(error))
    return None


def _network(error: Exception) -> Refusal | None:
    from faultnet.network.flaw import NetworkFileError

    if not isinstance(error, NetworkFileError):
        return None
    from faultnet.authoring.problem import Problem
    from faultnet.authoring.render import as_json, as_text

    problems = [
        Problem("error", f.code, f.file, f.line, 0, f.entity, f.message, f.hint)
        for f in error.flaws
    ]
    count = f"{len(problems)} error{'' if len(problems) == 1 else 's'} in the network file."
    return Refusal(
        PROBLEMS,
        "network-file",
        f"{as_text(problems)}\n{count}",
        more={"problems": as_json(problems)},
    )


def _knowledge(error: Exception) -> Refusal | None:
    from faultnet.authoring.problem import KnowledgeError
    from faultnet.authoring.region import UnknownRegionError

    if isinstance(error, UnknownRegionError):
        named = {"of": "region", "name": error.name}
        return Refusal(NOT_UNDERSTOOD, "unknown-name", str(error), error.hint, named)
    if not isinstance(error, KnowledgeError):
        return None
    from faultnet.authoring.render import as_json, as_text

    text = f"{as_text(error.problems)}\n{error}."
    more = {"problems": as_json(error.problems)}
    return Refusal(PROBLEMS, "knowledge", text, "faultnet lint FOLDER tells the same.", more)


def _sharing(error: Exception) -> Refusal | None:
    from faultnet.sharing.trouble import SharingError

    if isinstance(error, SharingError):
        hint = "docs/more-than-one-machine.md tells how a cluster is set up."
        return Refusal(PROBLEMS, error.kind, str(error), hint)
    return None


def _making(error: Exception) -> Refusal | None:
    from faultnet.pocket.making.trouble import MakingError

    if isinstance(error, MakingError):
        return Refusal(PROBLEMS, "pocket", str(error), error.mend, {"place": error.place})
    return None


def _version(error: Exception) -> Refusal | None:
    from faultnet.review.compare.version import NoVersionError

    if isinstance(error, NoVersionError):
        return Refusal(NOT_UNDERSTOOD, "no-version", str(error), error.hint)
    return None


def _cases(error: Exception) -> Refusal | None:
    from faultnet.learning.reading.trouble import SourceError

    if isinstance(error, SourceError):
        message = f"{error.place}: {error.reason}."
        return Refusal(NOT_UNDERSTOOD, "cases", message, error.mend, {"place": error.place})
    return None


def _adding(error: Exception) -> Refusal | None:
    from faultnet.authoring.adding.addition import UnfitAnswersError
    from faultnet.authoring.writing.change import ChangedMeanwhileError
    from faultnet.authoring.writing.spot import CannotWriteHereError

    if isinstance(error, UnfitAnswersError):
        hint = "docs/editing.md shows what answers look like."
        return Refusal(NOT_UNDERSTOOD, "answers", str(error), hint)
    if isinstance(error, ChangedMeanwhileError):
        return Refusal(PROBLEMS, "changed-meanwhile", str(error))
    if isinstance(error, CannotWriteHereError):
        hint = "Nothing was written. Write the entry with an editor; `faultnet lint` looks at it."
        return Refusal(PROBLEMS, "cannot-write-here", str(error), hint)
    return None


def _advice(error: Exception) -> Refusal | None:
    try:
        from faultnet.advice.possibilities import UnfitReadingError
        from faultnet.advice.subject import UnknownNameError
        from faultnet.cli.unranked import UnrankedError
        from faultnet.inference.engine import TooLargeError
    except ImportError:
        return None
    if isinstance(error, UnknownNameError):
        more = {"of": error.kind, "name": error.name}
        message = f"There is no {error.kind} `{error.name[:80]}`."
        hint = error.hint or "See what can be said: faultnet systems SYSTEM"
        return Refusal(NOT_UNDERSTOOD, "unknown-name", message, hint, more)
    if isinstance(error, UnfitReadingError):
        return Refusal(NOT_UNDERSTOOD, "unfit-reading", str(error))
    if isinstance(error, UnrankedError):
        return _too_large(error.error, error.dangers)
    return _too_large(error, []) if isinstance(error, TooLargeError) else None


def _too_large(error: "TooLargeError", dangers: list[dict[str, Any]]) -> Refusal:
    size = {"cells": error.cells, "limit": error.limit, "leave_out": list(error.leave_out)}
    message = f"Nothing was computed: {error}."
    return Refusal(PROBLEMS, "too-large", message, more={**size, "dangers": dangers})
