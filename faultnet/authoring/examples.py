"""Read the cases that stand beside the knowledge."""

from collections import abc
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

from faultnet.authoring.files import File, case_files
from faultnet.authoring.form import Form, Key
from faultnet.authoring.forms.example import read_example
from faultnet.authoring.kind import TEXT
from faultnet.authoring.names import Names, taken_twice
from faultnet.authoring.node import Mapping, Node, Sequence
from faultnet.authoring.parse import parse
from faultnet.authoring.problem import Problem, in_order
from faultnet.authoring.scope import Scope, Vocabulary
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Origin


class _Placed(Protocol):
    """Any authored entry: it knows where it stands."""

    @property
    def origin(self) -> Origin: ...


def read_examples(
    folder: Path, knowledge: Knowledge
) -> tuple[tuple[Example, ...], tuple[Problem, ...]]:
    """Return the sound cases of all `*.cases.yaml` below a folder, and every problem."""
    return examples_of(*case_files(folder), knowledge)


def examples_of(
    files: tuple[File, ...], unreadable: tuple[Problem, ...], knowledge: Knowledge
) -> tuple[tuple[Example, ...], tuple[Problem, ...]]:
    """Return the sound cases of files, and every problem."""
    told = list(unreadable)
    examples: dict[str, Example] = {}
    for file in files:
        for node, scope in _cases(file, names_of(knowledge), told):
            before = len(told)
            example = read_example(node, scope, knowledge)
            if example is None:
                continue
            if example.id in examples:
                place = examples[example.id].origin
                told.append(taken_twice("case", example.id, example.origin, "case", place))
            elif len(told) == before:
                examples[example.id] = example
    return tuple(examples.values()), in_order(told)


def _cases(file: File, names: Names, told: list[Problem]) -> Iterator[tuple[Node, Scope]]:
    """Yield the cases of a file, each with the scope that the file gives it."""
    top, problems = parse(file)
    told.extend(problems)
    if top is None:
        return
    scope = Scope(names, Vocabulary({}), told)
    entry = top.entries.get("cases") if isinstance(top, Mapping) else None
    if not isinstance(top, Mapping) or entry is None or not isinstance(entry.node, Sequence):
        node = entry.node if entry else top
        scope.wrong_type(node, "the key `cases` with a list of cases", "Write `cases:` first.")
        return
    Form(dict[str, str], {"cases": Key(TEXT)}).unknown(top, scope)
    inner = scope.nearer(top)
    for item in entry.node.items:
        yield item, inner


def names_of(knowledge: Knowledge) -> Names:
    """Return the ids of knowledge that is already built."""
    entries: dict[str, abc.Mapping[str, _Placed]] = {
        "cause": knowledge.causes,
        "finding": knowledge.findings,
        "check": knowledge.checks,
        "repair": knowledge.repairs,
        "reading": knowledge.readings,
        "set-up": knowledge.set_ups,
        "layout": knowledge.layouts,
        "circumstance": knowledge.circumstances,
        "source": knowledge.sources,
        "system": knowledge.systems,
        "item": knowledge.stock,
    }
    return Names(
        places={
            kind: {name: each.origin for name, each in found.items()}
            for kind, found in entries.items()
        },
        answers={name: each.all_answers for name, each in knowledge.findings.items()},
        values={
            name: tuple(value.id for value in each.values)
            for name, each in knowledge.layouts.items()
        },
        found={},
    )
