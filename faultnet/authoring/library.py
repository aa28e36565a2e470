"""Read a folder of knowledge: parse, resolve, build, check, all problems at once."""

from pathlib import Path

from faultnet.authoring.build import build
from faultnet.authoring.document import parse_all
from faultnet.authoring.files import File, knowledge_files, shown_name
from faultnet.authoring.names import resolve
from faultnet.authoring.problem import Problem, errors, in_order
from faultnet.authoring.rules import check
from faultnet.authoring.version import version_of
from faultnet.model.knowledge import Knowledge


def read_knowledge(folder: Path) -> tuple[Knowledge | None, tuple[Problem, ...]]:
    """Return the knowledge of a folder, or None where an error stands, and every problem."""
    files, unreadable = knowledge_files(folder)
    return knowledge_of(files, unreadable, shown_name(folder))


def knowledge_of(
    files: tuple[File, ...], unreadable: tuple[Problem, ...], folder: str
) -> tuple[Knowledge | None, tuple[Problem, ...]]:
    """Return the knowledge that the files hold; ``folder`` is how problems name the folder."""
    documents, unparsed = parse_all(files)
    whole = not unreadable and len(documents) == len(files)
    names, unresolved = resolve(documents, whole=whole)
    knowledge, unbuilt = build(documents, names, folder, version_of(files))
    broken = check(knowledge, whole=names.whole)
    problems = in_order((*unreadable, *unparsed, *unresolved, *unbuilt, *broken))
    return (None if errors(problems) else knowledge), problems
