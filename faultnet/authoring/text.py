"""From the bytes of a file to its text."""

import re

from faultnet.authoring.files import File
from faultnet.authoring.problem import Problem, problem
from faultnet.model.origin import Origin

_CONTROL = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def text_of(file: File) -> tuple[str | None, tuple[Problem, ...]]:
    """Return the text of a UTF-8 file without byte order mark, or None with the reason."""
    if file.data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return None, (_not_utf_8(file, 0),)
    try:
        text = file.data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if b"\0" in file.data[:1000]:
            return None, (_not_text(file, file.data.index(b"\0")),)
        return None, (_not_utf_8(file, error.start),)
    if found := _CONTROL.search(text):
        return None, (_not_text(file, len(text[: found.start()].encode())),)
    return text, ()


def _not_text(file: File, index: int) -> Problem:
    return problem(
        "not-text",
        _place(file, index),
        f"The byte {file.data[index]:#04x} does not belong into a text.",
        "Save the file as plain text (UTF-8).",
    )


def _not_utf_8(file: File, index: int) -> Problem:
    return problem(
        "not-utf-8",
        _place(file, index),
        "The letters of this file are not written in UTF-8.",
        "Save the file again and choose UTF-8 as its encoding.",
    )


def _place(file: File, index: int) -> Origin:
    before = file.data[:index].decode("utf-8-sig", "replace")
    line_start = before.rfind("\n") + 1
    return Origin(file.shown, before.count("\n") + 1, len(before) - line_start + 1)
