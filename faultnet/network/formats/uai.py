"""The format of the UAI evaluations: numbers alone, neither names nor states.

Each function names its variables by number, the variable itself last; its table lists
the last variable's state fastest. Variables are called ``var_0`` and so on here, their
states ``0``, ``1`` and so on.
Source: "UAI model format" of the UAI inference evaluations (uaicompetition.github.io).
"""

import re
from functools import cached_property

from faultnet.network.flaw import NetworkFileError, refuse
from faultnet.network.formats.draft import Declared, Draft, Drafted
from faultnet.network.tables import Tables

MOST = 10**6
"""No count in a file is larger than this."""


def read(text: str, file: str) -> Draft:
    """Return what the text tells."""
    words = _Words(text, file)
    kind = words.word()
    if kind != "BAYES":
        words.place -= 1
        message = f"`{kind[:30]}` stands where `BAYES` should."
        hint = "Only Bayesian networks can be read, not Markov networks."
        raise words.wrong(message, hint)
    count = words.count()
    draft = Draft(file)
    sizes = [words.count() for _ in range(count)]
    for k, size in enumerate(sizes):
        states = tuple(map(str, range(size)))
        draft.variables.append(Declared(f"var_{k}", states, 3))
    families = []
    for _ in range(words.count()):
        line = words.line
        family = [words.count() for _ in range(words.count())]
        if not family:
            raise words.wrong("A function has no variable.", "The variable itself stands last.")
        families.append((line, [f"var_{k}" for k in family]))
    for line, (*parents, name) in families:
        numbers = words.numbers()
        draft.tables.append(Drafted(name, tuple(parents), line, numbers))
    if words.place < len(words.all):
        raise words.wrong("The file goes on after its last table.", "Leave out what follows.")
    return draft


class _Words:
    """The words of a text, one after the other."""

    def __init__(self, text: str, file: str) -> None:
        self.text = re.sub(r"#[^\n]*", "", text)
        self.all = self.text.split()
        self.file = file
        self.place = 0

    @property
    def line(self) -> int:
        """The line of the next word."""
        return self._lines[self.place]

    @cached_property
    def _lines(self) -> list[int]:
        """The line of every word, and the last line."""
        lines = self.text.split("\n")
        return [*(n for n, line in enumerate(lines, 1) for _ in line.split()), len(lines)]

    def word(self) -> str:
        if self.place >= len(self.all):
            message = "The file ends before its last table."
            raise refuse("cut-off", message, "Is it cut off?", file=self.file, line=self.line)
        self.place += 1
        return self.all[self.place - 1]

    def count(self) -> int:
        word = self.word()
        if not (word.isascii() and word.isdecimal()) or int(word[:9]) > MOST:
            self.place -= 1
            raise self.wrong(f"`{word[:30]}` stands where a count should.", "")
        return int(word)

    def numbers(self) -> list[float]:
        count = self.count()
        words = self.all[self.place : self.place + count]
        numbers = []
        for word in words:
            try:
                numbers.append(float(word))
            except ValueError:
                raise self.wrong(f"`{word[:30]}` stands where a number should.", "") from None
            self.place += 1
        if len(words) < count:
            self.word()
        return numbers

    def wrong(self, message: str, hint: str) -> NetworkFileError:
        return refuse("syntax", message, hint, file=self.file, line=self.line)


def write(tables: Tables) -> str:
    """Return the network as text; names of variables and states are lost."""
    at = {variable.id: k for k, variable in enumerate(tables.variables)}
    lines = ["BAYES", str(len(at)), " ".join(str(len(v.states)) for v in tables.variables)]
    lines.append(str(len(at)))
    for each in tables.variables:
        family = [at[v] for v in (*each.parents, each.id)]
        lines.append(" ".join(map(str, (len(family), *family))))
    for each in tables.variables:
        lines += ["", str(each.chances.size)]
        rows = each.chances.reshape(-1, len(each.states)).tolist()
        lines += [" ".join(map(repr, row)) for row in rows]
    return "\n".join(lines) + "\n"
