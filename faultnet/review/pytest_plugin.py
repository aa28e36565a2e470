"""Cases beside the knowledge as test items of pytest, the id of a case as its name.

``pytest -p faultnet.review.pytest_plugin my-knowledge`` runs every case of the
``*.cases.yaml`` files below the folder; ``-k`` chooses, and ``-n`` shares them out.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from faultnet.advice.prove import proof_of
from faultnet.advice.subjects import Subjects
from faultnet.authoring.examples import read_examples
from faultnet.authoring.files import CASES, shown_name
from faultnet.authoring.problem import KnowledgeError, Problem
from faultnet.authoring.render import as_text
from faultnet.authoring.store import load
from faultnet.model.example import Example
from faultnet.review.failure import as_text as failure_text


class _Read:
    """The cases of one folder, read once."""

    def __init__(self, folder: Path) -> None:
        knowledge = load(folder)
        self.subjects = Subjects(knowledge)
        examples, self.problems = read_examples(folder, knowledge)
        self.by_file: dict[str, list[Example]] = {}
        for example in examples:
            self.by_file.setdefault(example.origin.file, []).append(example)


_READ = pytest.StashKey[dict[Path, _Read]]()


class CaseItem(pytest.Item):
    """One case."""

    example: Example
    read: _Read

    def runtest(self) -> None:
        """Prove the case; where it fails, tell what was expected and what came."""
        proof = proof_of(self.read.subjects[self.example.system], self.example)
        if not proof.passed:
            pytest.fail(failure_text(proof), pytrace=False)

    def reportinfo(self) -> tuple[Path, int, str]:
        """Return where the case stands."""
        return self.path, self.example.origin.line - 1, self.name


class CaseFile(pytest.File):
    """A file of cases."""

    def collect(self) -> Iterator[CaseItem]:
        """Yield its cases; raise where the knowledge or the file has problems."""
        folder = knowledge_folder(self.path)
        kept = self.config.stash.setdefault(_READ, {})
        try:
            read = kept[folder] = kept.get(folder) or _Read(folder)
        except KnowledgeError as error:
            raise self.CollectError(as_text(error.problems)) from error
        shown = f"{shown_name(folder)}/{self.path.relative_to(folder).as_posix()}"
        problems: list[Problem] = [p for p in read.problems if p.file == shown]
        if problems:
            raise self.CollectError(as_text(problems))
        for example in read.by_file.get(shown, ()):
            item: CaseItem = CaseItem.from_parent(self, name=example.id)
            item.example, item.read = example, read
            yield item


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> CaseFile | None:
    """Collect files of cases."""
    if not file_path.name.endswith(CASES):
        return None
    found: CaseFile = CaseFile.from_parent(parent, path=file_path)
    return found


def knowledge_folder(path: Path) -> Path:
    """Return the folder of knowledge that a file of cases belongs to: the one with ``systems``."""
    return next((up for up in path.parents if (up / "systems").is_dir()), path.parent)
