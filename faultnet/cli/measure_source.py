"""Stand-in: closed cases out of a file with a case a line."""

from pathlib import Path

import click
import msgspec

from faultnet.learning.closed import ClosedCase
from faultnet.learning.source import Batch, SetAside


class Lines(msgspec.Struct, frozen=True):
    path: str
    first: int
    lines: tuple[bytes, ...]

    def read(self) -> Batch:
        cases, aside = [], []
        for number, line in enumerate(self.lines, self.first):
            try:
                cases.append(msgspec.json.decode(line, type=ClosedCase))
            except msgspec.DecodeError as error:
                aside.append(SetAside(f"{self.path}:{number}", "not-in-form", str(error)))
        return Batch(tuple(cases), tuple(aside))


class LinesSource(msgspec.Struct, frozen=True):
    path: str

    def parts(self) -> list[Lines]:
        lines = Path(self.path).read_bytes().splitlines()
        return [Lines(self.path, k + 1, tuple(lines[k : k + 20])) for k in range(0, len(lines), 20)]


def opened(source: str) -> LinesSource:
    if not Path(source).is_file():
        raise click.UsageError(f"There is no file {source}.")
    return LinesSource(source)
