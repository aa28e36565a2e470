"""Cases chosen and proved: by all processors at once, in the order of the files."""

from collections.abc import Collection, Iterator, Sequence

from faultnet.advice.prove import Proof, proof_of
from faultnet.advice.subject import UnknownNameError
from faultnet.advice.subjects import Subjects
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.sharing.workers import answered


class Prover:
    """Proves cases of one knowledge; it can be sent to a process of its own."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Keep the knowledge."""
        self.subjects = Subjects(knowledge)

    def __call__(self, example: Example) -> Proof:
        """Return what comes of a case."""
        return proof_of(self.subjects[example.system], example)


def prove(knowledge: Knowledge, examples: Sequence[Example], workers: int = 1) -> Iterator[Proof]:
    """Yield the proof of each case in turn."""
    return answered(Prover(knowledge), examples, workers)


def chosen(
    examples: Sequence[Example],
    systems: Collection[str] = (),
    named: Collection[str] = (),
    among: Collection[str] | None = None,
) -> list[Example]:
    """Return the cases of some systems, whose ids are or hold one of some texts.

    A text that is an id stands for that case alone. ``among`` limits them to ids. Raises
    ``UnknownNameError`` for a system that no case is about, and a text that stands in no id.
    """
    known = list(dict.fromkeys(example.system for example in examples))
    for system in systems:
        if system not in known:
            raise UnknownNameError("system with cases", system, known)
    ids = [example.id for example in examples]
    wanted: set[str] = set()
    for text in named:
        found = [text] if text in ids else [name for name in ids if text in name]
        if not found:
            raise UnknownNameError("case", text, ids)
        wanted.update(found)
    return [
        example
        for example in examples
        if (not systems or example.system in systems)
        and (not named or example.id in wanted)
        and (among is None or example.id in among)
    ]
