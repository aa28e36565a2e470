"""From the bytes of a file to its text."""

import re

from faultnet.authoring.files import File
from faultnet.authoring.problem import Problem, problem
from faultnet.model.origin import Origin

_CONTROL = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_HIDDEN_BREAK = re.compile("[\x85\u2028\u2029]")
"""Letters at which YAML 1.1 ends a line and editors do not: lines would be counted otherwise."""
_LINE_END = re.compile("\r\n|\r|\n")


def text_of(file: File) -> tuple[str | None, tuple[Problem, ...]]:
    """Return the text of a UTF-8 file without byte order mark, or None with the reason."""
    if file.data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return None, (_not_utf_8(file, 0),)
    try:
        text = file.data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if b"\0" in file.data[:1000]:
            return None, (_not_text(file, _before(file, file.data.index(b"\0")), 0),)
        return None, (_not_utf_8(file, error.start),)
    if found := _CONTROL.search(text):
        return None, (_not_text(file, text[: found.start()], ord(found[0])),)
    if found := _HIDDEN_BREAK.search(text):
        return None, (_hidden_break(file, text[: found.start()], ord(found[0])),)
    return text, ()


def place_in(shown: str, text: str, line: int, column: int) -> Origin:
    """Return a place in a text, both counted from one; one behind the text is where it ends."""
    lines = _LINE_END.split(text)
    if line > len(lines):
        return Origin(shown, len(lines), len(lines[-1]) + 1)
    return Origin(shown, line, min(column, len(lines[line - 1]) + 1))


def _hidden_break(file: File, before: str, letter: int) -> Problem:
    message = f"A hidden sign for a new line (U+{letter:04X}) stands here."
    hint = "Delete it, and press Enter where a line should end."
    return problem("not-text", _after(file, before), message, hint)


def _not_text(file: File, before: str, letter: int) -> Problem:
    message = f"The sign U+{letter:04X} does not belong into a text."
    return problem(
        "not-text", _after(file, before), message, "Save the file as plain text (UTF-8)."
    )


def _not_utf_8(file: File, index: int) -> Problem:
    return problem(
        "not-utf-8",
        _after(file, _before(file, index)),
        "The letters of this file are not written in UTF-8.",
        "Save the file again and choose UTF-8 as its encoding.",
    )


def _before(file: File, index: int) -> str:
    return file.data[:index].decode("utf-8-sig", "replace")


def _after(file: File, before: str) -> Origin:
    """Return the place behind a piece of text from the beginning of a file."""
    lines = _LINE_END.split(before)
    return Origin(file.shown, len(lines), len(lines[-1]) + 1)
