"""The pages of the documentation, and what stands in them."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")])
_BOX = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
_HEADING = re.compile(r"^#+ (.*)$", re.MULTILINE)


def text_of(page):
    """Return the text of a page."""
    return page.read_text(encoding="utf-8")


def boxes(page, language):
    """Return the boxes of a page that are marked with a language."""
    return [text for marked, text in _BOX.findall(text_of(page)) if marked == language]


def commands(box):
    """Return the command lines of a console box, each with the lines shown below it."""
    found = []
    for line in box.splitlines():
        if line.startswith("$ "):
            found.append((line.removeprefix("$ "), []))
        elif line.strip():
            found[-1][1].append(line)
    return found


def prose(page):
    """Return the text of a page without its boxes."""
    return _BOX.sub("", text_of(page))


def links(page):
    """Return the targets of links, those in boxes left out."""
    return _LINK.findall(prose(page))


def anchors(page):
    """Return the anchors that the headings of a page make."""
    names = [heading.lower().replace("`", "") for heading in _HEADING.findall(prose(page))]
    return {re.sub(r"[^\w\- ]", "", name).replace(" ", "-") for name in names}
