"""Documents: parsed files with what each of them is."""

from pathlib import PurePosixPath

import msgspec

from faultnet.authoring.files import File
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, named
from faultnet.authoring.parse import parse
from faultnet.authoring.problem import Problem, problem
from faultnet.model.origin import Origin

SINGLE = (
    "words",
    "sources",
    "layout",
    "circumstances",
    "rates",
    "stock",
    "lead-times",
    "as-found",
    "renamed",
)
"""Files that stand once, at the top of the folder."""
FOLDERS = {
    "learnt": "learnt",
    "parts": "part",
    "procedures": "procedure",
    "regions": "region",
    "systems": "system",
}
"""Folders to what each of their files is."""


class Document(msgspec.Struct, frozen=True):
    """A file that could be read: its kind (``part``, ``words`` ...), its stem, its keys."""

    kind: str
    stem: str
    top: Mapping


def parse_all(files: tuple[File, ...]) -> tuple[tuple[Document, ...], tuple[Problem, ...]]:
    """Parse every file; those that cannot be read leave only their problems."""
    documents: list[Document] = []
    problems: list[Problem] = []
    for file in files:
        document, told = _document(file)
        problems.extend(told)
        if document:
            documents.append(document)
    return tuple(documents), tuple(problems)


def _document(file: File) -> tuple[Document | None, tuple[Problem, ...]]:
    path = PurePosixPath(file.name)
    kind = kind_of(path)
    if not kind:
        return None, (_misplaced(file, path),)
    node, problems = parse(file)
    if node is None or isinstance(node, Mapping):
        return (Document(kind, path.stem, node) if node else None), problems
    return None, (*problems, _not_a_mapping(node))


def kind_of(path: PurePosixPath) -> str:
    """Return what a file is by its path below the folder, or nothing where none is expected."""
    if path.suffix != ".yaml":
        return ""
    if len(path.parts) == 1:
        return path.stem if path.stem in SINGLE else ""
    return FOLDERS.get(path.parts[0], "") if len(path.parts) == 2 else ""


def _misplaced(file: File, path: PurePosixPath) -> Problem:
    known = [f"{each}.yaml" for each in SINGLE] + [f"{each}/{path.stem}.yaml" for each in FOLDERS]
    hint = did_you_mean(file.name, known) or "Parts stand in parts/, systems in systems/."
    message = "No knowledge file of this name is expected here."
    return problem("misplaced-file", Origin(file.shown, 0, 0), message, hint)


def _not_a_mapping(node: Node) -> Problem:
    message = f"The file must hold keys with values, but holds {named(node)}."
    return problem("wrong-type", node.origin, message, "Write `key: value` lines.")
