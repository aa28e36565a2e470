"""Problems as a SARIF log, the form that hosts of code show beside the lines.

Static Analysis Results Interchange Format (SARIF) Version 2.1.0, OASIS Standard; the
numbers of sections are those of the standard.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from faultnet import __version__
from faultnet.authoring.acceptance import Sifted
from faultnet.authoring.code import CODES, WARNINGS
from faultnet.authoring.explained import explained
from faultnet.authoring.problem import Problem
from faultnet.model.accepted import Accepted

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
_ROOT = "%SRCROOT%"
Fields = dict[str, Any]


def as_sarif(sifted: Sifted, folder: Path) -> Fields:
    """Return the log of one run; places are relative to the folder it was started in.

    What was accepted is in it as suppressed in the source (3.35), with its reason.
    """
    standing = [_result(each, folder) for each in sifted.problems]
    suppressed = [
        {**_result(each, folder), "suppressions": [_suppression(by)]}
        for each, by in sifted.accepted
    ]
    run = {
        "tool": {"driver": _driver(sifted)},
        "originalUriBaseIds": {
            _ROOT: {"description": {"text": "The folder that faultnet lint was started in."}}
        },
        "columnKind": "unicodeCodePoints",
        "results": [*standing, *suppressed],
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def _driver(sifted: Sifted) -> Fields:
    told = {each.code for each in (*sifted.problems, *(each for each, _ in sifted.accepted))}
    return {"name": "faultnet lint", "version": __version__, "rules": list(_rules(told))}


def _rules(codes: Iterable[str]) -> Iterable[Fields]:
    """Yield what was told of as rules (3.49), in the order of the page that explains them."""
    meanings = explained()
    for code in (each for each in CODES if each in codes):
        level = "warning" if code in WARNINGS else "error"
        rule: Fields = {"id": code, "defaultConfiguration": {"level": level}}
        if meaning := meanings.get(code):
            rule["shortDescription"] = {"text": meaning.first}
            rule["help"] = {"text": meaning.text, "markdown": meaning.markdown}
        yield rule


def _result(each: Problem, folder: Path) -> Fields:
    physical: Fields = {"artifactLocation": {"uri": _uri(each.file, folder), "uriBaseId": _ROOT}}
    if each.line:
        physical["region"] = {"startLine": each.line, "startColumn": max(each.column, 1)}
    location: Fields = {"physicalLocation": physical}
    if each.entity:
        location["logicalLocations"] = [{"name": each.entity}]
    return {
        "ruleId": each.code,
        "level": each.severity,
        "message": {"text": " ".join(filter(None, (each.message, each.hint)))},
        "locations": [location],
    }


def _suppression(by: Accepted) -> Fields:
    return {"kind": "inSource", "justification": by.reason}


def _uri(shown: str, folder: Path) -> str:
    """Return the address of a file below the folder that the program was started in.

    ``shown`` starts with the name of the knowledge folder alone. A folder that lies
    elsewhere keeps that name: a host of code then finds no such file, but the log stands.
    """
    name, _, below = shown.partition("/")
    whole = folder.resolve()
    here = Path.cwd()
    at = whole.relative_to(here).as_posix() if whole.is_relative_to(here) else name
    return quote("/".join(filter(None, (at.removeprefix("."), below))))
