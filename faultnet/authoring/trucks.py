"""What is on which truck now, from a file that the office keeps."""

from pathlib import Path

import msgspec

from faultnet.authoring.collection import MapOf
from faultnet.authoring.examples import names_of
from faultnet.authoring.files import one_file
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TERM
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.number import AMOUNT
from faultnet.authoring.parse import parse
from faultnet.authoring.problem import Problem, errors, in_order, problem
from faultnet.authoring.scope import Scope, Vocabulary
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number, Origin

COUNTED = "counted"
"""Where the numbers of such a file come from."""


class Trucks(msgspec.Struct, frozen=True):
    """How many of each item are on each truck; ``as_of`` says when that was counted."""

    trucks: dict[str, dict[str, Number]]
    as_of: str = ""

    def on(self, truck: str) -> frozenset[str]:
        """Return the items that are on a truck at all; raise ``KeyError``."""
        return frozenset(item for item, count in self.trucks[truck].items() if count.value > 0.0)


TRUCKS = Form(
    Trucks,
    {
        "as-of": Key(TERM, "", says="When it was counted."),
        "trucks": Key(
            MapOf(NAME, MapOf(Id("item"), AMOUNT)),
            says="Trucks with the items on each and how many.",
        ),
    },
)


def read_trucks(path: Path, knowledge: Knowledge) -> tuple[Trucks | None, tuple[Problem, ...]]:
    """Return the trucks of a file, or None where an error stands, and every problem."""
    file = one_file(path)
    if isinstance(file, Problem):
        return None, (file,)
    node, problems = parse(file)
    told = list(problems)
    if node is None:
        return None, in_order(told)
    scope = Scope(names_of(knowledge), Vocabulary({}), told, (COUNTED,))
    trucks = TRUCKS.read(node, scope)
    if trucks is not None and not trucks.trucks and not errors(tuple(told)):
        hint = "Write `trucks:` and below it the truck with its items and counts."
        told.append(problem("missing-key", Origin(file.shown, 0, 0), "There is no truck.", hint))
    return (None if errors(tuple(told)) else trucks), in_order(told)
