"""Scope: what a reader knows while it reads one entry, and where it tells problems."""

import msgspec

from faultnet.authoring.code import Code
from faultnet.authoring.names import Names
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar, Sequence, named
from faultnet.authoring.problem import Problem, problem
from faultnet.model.accepted import Accepted
from faultnet.model.origin import Number, Origin
from faultnet.model.words import ORIGINS


class Vocabulary(msgspec.Struct, frozen=True):
    """The words of likelihood and of how common, with their numbers.

    ``known`` is False when the words could not be read: then no word is refused.
    """

    tables: dict[str, dict[str, Number]]
    known: bool = True


class Scope(msgspec.Struct, frozen=True):
    """Names, words, the nearest provenance above, the entry at hand, problems told so far.

    ``accepted`` gathers what the entries read so far accept.
    """

    names: Names
    words: Vocabulary
    told: list[Problem]
    provenance: tuple[str, ...] = ()
    entity: str = ""
    accepted: list[Accepted] = []

    def tell(self, code: Code, origin: Origin, message: str, hint: str = "") -> None:
        """Note a problem of the entry at hand."""
        self.told.append(problem(code, origin, message, hint, entity=self.entity))

    def wrong_type(self, node: Node, wanted: str, hint: str = "") -> None:
        """Note that something else was wanted here."""
        message = f"Here stands {named(node)} instead of {wanted}."
        self.tell("wrong-type", node.origin, message, hint)

    def about(self, entity: str) -> "Scope":
        """Return the scope for an entry."""
        return msgspec.structs.replace(self, entity=entity)

    def nearer(self, mapping: Mapping) -> "Scope":
        """Return the scope inside a mapping: its own `from` goes before that above."""
        entry = mapping.entries.get("from")
        if entry is None:
            return self
        return msgspec.structs.replace(self, provenance=self._from(entry.node))

    def _from(self, node: Node) -> tuple[str, ...]:
        items = node.items if isinstance(node, Sequence) else (node,)
        origins = tuple(self._one_from(item) for item in items)
        if not origins:
            self.wrong_type(node, "the id of a source, or judgement, practice or memory")
        return origins or ("",)

    def _one_from(self, node: Node) -> str:
        if not isinstance(node, Scalar) or node.value is None:
            self.wrong_type(node, "the id of a source, or judgement, practice or memory")
            return ""
        if (
            node.text not in ORIGINS
            and self.names.whole
            and not self.names.has(node.text, "source")
        ):
            known = (*ORIGINS, *self.names.known("source"))
            message = f"There is no source `{node.text[:60]}` in sources.yaml."
            self.tell("unknown-source", node.origin, message, did_you_mean(node.text, known))
        return node.text
