"""Whether what `lint --json` tells has a place, a known code and a reason, all of them."""

import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

from faultnet.authoring.code import CODES

ABSENT = ("missing-file", "unreadable", "misplaced-file")
"""Codes that may speak of a whole file, or of one that is not there."""
_BREAK = re.compile("\r\n|\r|\n")


def misplaced(folder: Path, exit_code: int, output: str) -> tuple[Counter[str], str]:
    """Return how often each code is told, and what is wrong with how they are told."""
    try:
        told = json.loads(output)
    except ValueError:
        return Counter(), f"no JSON: {output[:200]!r}"
    problems = told["problems"]
    codes = Counter(each["code"] for each in problems)
    errors = sum(each["severity"] == "error" for each in problems)
    faults = [fault for each in problems if (fault := _fault(each, folder))]
    if exit_code != (1 if errors else 0):
        faults.append(f"exit {exit_code} with {errors} errors")
    if errors != told["errors"]:
        faults.append(f"{errors} errors, {told['errors']} told")
    return codes, faults[0] if faults else ""


def _fault(each: dict[str, Any], folder: Path) -> str:
    """Return what is wrong with how a problem is told."""
    where = f"{each['code']} at {each['file']}:{each['line']}:{each['column']}"
    texts = each["message"] + each["hint"] + each["entity"] + each["file"]
    if each["code"] not in CODES:
        return f"{where}: an unknown code"
    if each["severity"] not in ("error", "warning"):
        return f"{where}: severity {each['severity']}"
    if not each["message"].strip():
        return f"{where}: no reason"
    if not texts.isprintable():
        return f"{where}: {texts!r} cannot be shown as it is"
    if len(texts) > 2000:
        return f"{where}: {len(texts)} letters are told"
    return _off_the_file(each, folder, where)


def _off_the_file(each: dict[str, Any], folder: Path, where: str) -> str:
    path = folder.parent / each["file"]
    if not path.is_file():
        return "" if each["code"] in ABSENT and each["line"] == 0 else f"{where}: no such file"
    if each["line"] == 0:
        whole = each["code"] in (*ABSENT, "link-loop", "too-large")
        return "" if whole and each["column"] == 0 else f"{where}: no line"
    lines = _BREAK.split(path.read_bytes().decode("utf-8-sig", "replace"))
    if not 1 <= each["line"] <= len(lines):
        return f"{where}: only {len(lines)} lines"
    if not 1 <= each["column"] <= len(lines[each["line"] - 1]) + 1:
        return f"{where}: the line has {len(lines[each['line'] - 1])} letters"
    return ""
