"""The tutorial, done as it is written: files made and changed, commands run, answers compared.

Run `python -m tests.docs.tutorial` to do it and write what came into boxes that are empty.
"""

import re
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from subprocess import CompletedProcess
from typing import NamedTuple

import click

from tests.docs.pages import ROOT
from tests.docs.shell import shell_in

PAGE = ROOT / "docs/tutorial.md"
_GAP = re.compile(r"^\.\.\.\n", re.MULTILINE)
"""A line of an answer that stands for any lines."""
_BOX = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_EXITS = re.compile(r"\s+# exits (\d+)$", re.MULTILINE)
_NAMED = re.compile(r"# (\S+\.(?:yaml|txt))(, add to the end)?\n")

Run = Callable[[str], "CompletedProcess[str]"]


class Box(NamedTuple):
    """A box of the page: its language, what stands in it, and where that starts in the page."""

    language: str
    text: str
    start: int


class Answer(NamedTuple):
    """What a command was shown to answer, what it did answer, and its exits."""

    commands: str
    shown: Box
    came: str
    exits: int
    exit_shown: int


def boxes_of(page: str) -> tuple[Box, ...]:
    """Return the boxes of a page, in order."""
    return tuple(Box(found[1], found[2], found.start(2)) for found in _BOX.finditer(page))


def done(page: str, folder: Path, run: Run) -> Iterator[Answer]:
    """Do a page box by box in a folder; yield each command that has an answer below it."""
    boxes = boxes_of(page)
    for box, below in zip(boxes, (*boxes[1:], Box("", "", 0)), strict=True):
        if box.language == "sh":
            exits = _EXITS.search(box.text)
            came = run(_EXITS.sub("", box.text))
            shown = int(exits[1]) if exits else 0
            if below.language == "text" and not _NAMED.match(below.text):
                yield Answer(box.text, below, came.stdout + came.stderr, came.returncode, shown)
            else:
                yield Answer(box.text, box, box.text, came.returncode, shown)
        elif named := _NAMED.match(box.text):
            _write(box, folder / named[1], added=bool(named[2]), head=named.end())


def _write(box: Box, path: Path, *, added: bool, head: int) -> None:
    """Write, add to or change a file as a box says."""
    if box.language == "diff":
        text = path.read_text(encoding="utf-8")
        old, new = (_lines(box.text[head:], sign) for sign in "-+")
        assert text.count(old) == 1, f"stands {text.count(old)} times in {path.name}:\n{old}"
        path.write_text(text.replace(old, new), encoding="utf-8")
    elif added:
        path.write_text(path.read_text(encoding="utf-8") + box.text[head:], encoding="utf-8")
    else:
        text = box.text if path.suffix == ".yaml" else box.text[head:]
        path.write_text(text, encoding="utf-8")


def _lines(text: str, sign: str) -> str:
    return "".join(f"{line[1:]}\n" for line in text.splitlines() if line.startswith(sign))


def agrees(shown: str, came: str) -> bool:
    """Tell whether an answer is what is shown, lines that are left out apart."""
    pieces = _GAP.split(shown)
    return re.fullmatch("(?:.*\n)*?".join(map(re.escape, pieces)), came) is not None


def filled(page: str, answers: list[Answer]) -> str:
    """Return the page with what came in the boxes that are empty."""
    for answer in reversed(answers):
        if not answer.shown.text:
            start = answer.shown.start
            page = page[:start] + answer.came + page[start:]
    return page


def main() -> None:
    """Do the page and fill the empty boxes."""
    page = PAGE.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as place:
        run, folder = shell_in(Path(place), knowledge=False)
        answers = list(done(page, folder, run))
    PAGE.write_text(filled(page, answers), encoding="utf-8")
    for each in answers:
        if each.exits != each.exit_shown or not agrees(each.shown.text, each.came):
            click.echo(f"{each.commands}exits {each.exits}\n{each.came}")


if __name__ == "__main__":
    main()
