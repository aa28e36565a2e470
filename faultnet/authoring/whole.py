"""All that stands in a folder, as files that can be judged together before they are written."""

from pathlib import Path

import msgspec

from faultnet.authoring.acceptance import sift
from faultnet.authoring.examples import examples_of
from faultnet.authoring.files import CASES, File, case_files, knowledge_files, shown_name
from faultnet.authoring.library import knowledge_of
from faultnet.authoring.lint import lint
from faultnet.authoring.problem import Problem
from faultnet.model.knowledge import Knowledge


class Whole(msgspec.Struct, frozen=True):
    """The files of a folder, cases included, and how problems name the folder."""

    shown: str
    files: tuple[File, ...]
    unreadable: tuple[Problem, ...] = ()

    def bytes_of(self, name: str) -> bytes | None:
        """Return what a file holds, or None where there is no such file."""
        return next((file.data for file in self.files if file.name == name), None)

    def having(self, texts: dict[str, bytes]) -> "Whole":
        """Return the whole with other bytes in some files, new ones among them."""
        kept = [file for file in self.files if file.name not in texts]
        more = [File(name, f"{self.shown}/{name}", data) for name, data in texts.items()]
        files = tuple(sorted((*kept, *more), key=lambda file: file.name))
        return msgspec.structs.replace(self, files=files)

    def judged(self) -> tuple[Knowledge | None, tuple[Problem, ...]]:
        """Return the knowledge, or None where an error stands, and all that `lint` tells."""
        cases = tuple(file for file in self.files if file.name.endswith(CASES))
        files = tuple(file for file in self.files if not file.name.endswith(CASES))
        knowledge, problems = knowledge_of(files, self.unreadable, self.shown)
        if knowledge is None:
            return None, problems
        examples, more = examples_of(cases, (), knowledge)
        found = (*problems, *more, *lint(knowledge, examples))
        return knowledge, sift(found, knowledge.accepted).problems


def whole_of(folder: Path) -> Whole:
    """Return the files of a folder; what cannot be read is told when they are judged."""
    files, unreadable = knowledge_files(folder)
    cases, more = case_files(folder)
    return Whole(shown_name(folder), (*files, *cases), (*unreadable, *more))
