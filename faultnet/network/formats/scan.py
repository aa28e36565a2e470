"""Reading a text word by word, with the line for whatever is wrong."""

import re
from collections.abc import Sequence

from faultnet.network.flaw import NetworkFileError, refuse

_SPACE = re.compile(r"\s*")
_WORD = re.compile(r'"([^"]*)"|([^\s"{}()\[\]|,;=]+)')
_PART = re.compile(r'"([^"]*)"|([^,"]+)|(,)')
_BEFORE_BAR = re.compile(r'(?:[^"|]++|"[^"]*+")*+')
_UPTO = {mark: re.compile(rf'(?:[^"{re.escape(mark)}]++|"[^"]*+")*+') for mark in ";)}]"}


class Scan:
    """A text with a place in it; names may stand in double quotes."""

    def __init__(self, text: str, file: str, comment: str) -> None:
        """Blank out what the pattern ``comment`` matches outside of quotes."""
        hidden = re.compile(rf'("[^"\n]*")|(?:{comment})', re.DOTALL)
        self.text = hidden.sub(lambda m: m[1] or re.sub(r"[^\n]", " ", m[0]), text)
        self.file = file
        self.place = 0
        self._counted = (0, 1)

    @property
    def line(self) -> int:
        """The line of the next word."""
        self._skip()
        place, line = self._counted
        if place > self.place:
            place, line = 0, 1
        self._counted = (self.place, line + self.text.count("\n", place, self.place))
        return self._counted[1]

    @property
    def next(self) -> str:
        """The next character that is no space; empty at the end."""
        self._skip()
        return self.text[self.place : self.place + 1]

    def word(self, what: str) -> str:
        """Take a word, or what stands in quotes."""
        self._skip()
        found = _WORD.match(self.text, self.place)
        if found is None:
            raise self.wrong(what)
        self.place = found.end()
        return (found[1] if found[1] is not None else found[2]).strip()

    def take(self, mark: str) -> None:
        """Take a mark or a word that must come next."""
        self._skip()
        if not self.text.startswith(mark, self.place):
            raise self.wrong(f"`{mark}`")
        self.place += len(mark)

    def taken(self, mark: str) -> bool:
        """Take a mark if it comes next, and say whether it did."""
        if self.next != mark:
            return False
        self.place += 1
        return True

    def upto(self, mark: str) -> str:
        """Take everything to a mark outside of quotes, and the mark."""
        found = _UPTO[mark].match(self.text, self.place)
        end = found.end() if found else self.place
        if self.text[end : end + 1] != mark:
            line = self.line
            self.place = len(self.text)
            raise refuse(
                "cut-off",
                f"What begins on line {line} does not end: there is no `{mark}`.",
                "Is the file cut off?",
                file=self.file,
                line=line,
            )
        taken = self.text[self.place : end]
        self.place = end + 1
        return taken

    def numbers(self, text: str, line: int) -> list[float]:
        """Return the numbers of a text, parted by spaces or commas."""
        words = text.replace(",", " ").split()
        try:
            return list(map(float, words))
        except ValueError:
            word = next(w for w in words if not _is_number(w))
            message = f"`{word[:40]}` stands where a number should."
            raise refuse("syntax", message, file=self.file, line=line) from None

    def wrong(self, wanted: str) -> NetworkFileError:
        """Return the error that something else stands here than was wanted."""
        self._skip()
        line = self.line
        if self.place >= len(self.text):
            message = f"The file ends where {wanted} should stand."
            return refuse("cut-off", message, "Is it cut off?", file=self.file, line=line)
        here = self.text[self.place : self.place + 30].split("\n")[0]
        message = f"`{here}` stands where {wanted} should."
        hint = "Is this the format that the name of the file says?"
        return refuse("syntax", message, hint, file=self.file, line=line)

    def _skip(self) -> None:
        found = _SPACE.match(self.text, self.place)
        self.place = found.end() if found else self.place


def listed(text: str) -> tuple[str, ...]:
    """Return the names of a list: parted by commas, or by spaces where there is none."""
    parts = _PART.findall(text)
    if not any(comma for _, _, comma in parts):
        return tuple(quoted or plain for quoted, plain in re.findall(r'"([^"]*)"|([^\s"]+)', text))
    names = [""]
    for quoted, plain, comma in parts:
        if comma:
            names.append("")
        else:
            names[-1] += quoted or plain
    return tuple(" ".join(name.split()) for name in names)


def parted(text: str) -> tuple[str, str, str]:
    """Part a text at its first bar outside of quotes, as ``str.partition`` does."""
    found = _BEFORE_BAR.match(text)
    end = found.end() if found else 0
    return text[:end], text[end : end + 1], text[end + 1 :]


def quoted(names: Sequence[str], plain: re.Pattern[str], form: str) -> list[str]:
    """Return names as they are written: in quotes where they are not plain.

    Raises ``NetworkFileError`` for one that no quotes can carry.
    """
    for name in names:
        if not name or name != " ".join(name.split()) or '"' in name or not name.isprintable():
            message = f"The name {name!r} cannot be written as {form}."
            hint = "XMLBIF can carry any name that does not begin or end with a space."
            raise refuse("name", message, hint)
    return [name if plain.fullmatch(name) else f'"{name}"' for name in names]


def _is_number(word: str) -> bool:
    try:
        float(word)
    except ValueError:
        return False
    return True
