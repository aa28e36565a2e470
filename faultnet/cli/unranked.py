"""Evidence that is too much for an exact answer: its dangers are told all the same."""

from collections.abc import Callable
from typing import TypeVar

from faultnet.advice.dangers import dangers_met
from faultnet.advice.subject import Subject
from faultnet.cli import notice
from faultnet.cli.output import show
from faultnet.cli.screen import this_screen
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Evidence
from faultnet.shapes.plain import Json, plain
from faultnet.shapes.warnings import dangers_shape

T = TypeVar("T")


class UnrankedError(Exception):
    """Nothing was computed; ``dangers`` are those of the evidence, as for JSON."""

    def __init__(self, error: TooLargeError, dangers: list[Json]) -> None:
        """Keep the refusal of the engine with the dangers."""
        self.error = error
        self.dangers = dangers
        super().__init__(str(error))


def dangers_first(
    subject: Subject, evidence: Evidence, ask: Callable[[], T], *, as_json: bool
) -> T:
    """Return what is asked; raise ``UnrankedError`` where it is too large, dangers shown."""
    try:
        return ask()
    except TooLargeError as error:
        met = dangers_met(subject, evidence)
        if met and not as_json:
            show(notice.dangers(this_screen(), subject, met))
        raise UnrankedError(error, [plain(each) for each in dangers_shape(met)]) from error
