"""The trucks that could be sent, out of the files that the office keeps."""

from collections.abc import Iterable
from pathlib import Path

from faultnet.authoring.problem import KnowledgeError
from faultnet.authoring.trucks import read_trucks
from faultnet.desk.desk import Truck
from faultnet.model.knowledge import Knowledge


def trucks_of(files: Iterable[Path], knowledge: Knowledge) -> tuple[Truck, ...]:
    """Return the trucks of files; raise ``KnowledgeError`` where one of them has errors."""
    found: list[Truck] = []
    for path in files:
        trucks, problems = read_trucks(path, knowledge)
        if trucks is None:
            raise KnowledgeError(problems)
        found += [Truck(name, trucks.on(name)) for name in trucks.trucks]
    return tuple(found)
