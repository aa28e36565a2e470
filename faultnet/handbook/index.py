"""The index of signs: what somebody sees or says, by the alphabet, to the finding it is about."""

from collections.abc import Iterable
from itertools import groupby

from faultnet.handbook.teller import Teller, Words
from faultnet.model.finding import Finding
from faultnet.model.layout import Circumstance
from faultnet.writing.document import Bullets, Section


def index_section(
    t: Teller, findings: Iterable[Finding], circumstances: Iterable[Circumstance]
) -> Section:
    """Return titles of findings and what people say, each leading to its finding."""
    lines: dict[tuple[str, str], Words] = {}
    entries: list[Finding | Circumstance] = [*findings, *circumstances]
    for entry in entries:
        lines[entry.title.casefold(), ""] = (t.to(entry),)
        for said in entry.words:
            told = said[:1].upper() + said[1:]
            lines[said.casefold(), entry.title] = (f"{told}: ", t.to(entry))
    ordered = sorted(lines.items())
    letters = [
        Section(letter, (Bullets(tuple(words for _, words in group)),))
        for letter, group in groupby(ordered, key=lambda line: _letter(line[0][0]))
    ]
    return Section(t.say("book.index"), (), "index-of-signs", tuple(letters))


def _letter(text: str) -> str:
    first = text[:1].upper()
    return first if first.isalpha() else "0-9"
