"""What the guide has at hand: the knowledge, how things are found, the forms to check answers."""

import difflib
from collections.abc import Callable

import msgspec

from faultnet.authoring.adding.question import UnfitError
from faultnet.authoring.examples import names_of
from faultnet.authoring.forms.of_section import FORMS
from faultnet.authoring.kind import Kind
from faultnet.authoring.names import SECTIONS, taken
from faultnet.authoring.naming import NAME
from faultnet.authoring.node import Entry as NodeEntry
from faultnet.authoring.node import Mapping, Node, Scalar, Sequence, Value, value_of
from faultnet.authoring.problem import Problem
from faultnet.authoring.scalar import plain_value
from faultnet.authoring.scope import Scope, Vocabulary
from faultnet.authoring.whole import Whole
from faultnet.authoring.writing.insert import insert
from faultnet.authoring.writing.written import beside
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import NOWHERE, Number

_OF_SAFETY = ("unsafe-step", "set-ups-contradict")
NEAR = 0.75
"""How alike an id or a title must be to ask whether it is the same."""
Find = Callable[[str, str], list[str]]
"""Section and typed words to the ids that fit, the best first."""


class AtHand(msgspec.Struct, frozen=True):
    """The knowledge and its files, and what finds entries of a section by words.

    ``looked_at`` keeps what was found unsafe, so that going back does not look again.
    """

    knowledge: Knowledge
    find: Find
    whole: Whole
    looked_at: dict[str, tuple[str, ...]] = {}

    def titles(self, section: str) -> dict[str, str]:
        """Return the ids of a section with their titles; what looks make is left out."""
        entries = getattr(self.knowledge, section.replace("-", "_"))
        return {
            name: each.title
            for name, each in entries.items()
            if not getattr(each, "found_cause", "")
        }

    def words(self, table: str) -> dict[str, Number]:
        """Return the words of a table with their numbers."""
        words = self.knowledge.words
        return words.how_common if table == "how-common" else words.likelihood

    def text(self, kind: Kind[object], typed: str) -> Value:
        """Return a typed text that a kind reads as it is; raise ``UnfitError``."""
        text = " ".join(typed.split())
        return self._checked(kind, Scalar(NOWHERE, text, text or None))

    def plain(self, kind: Kind[object], typed: str) -> Value:
        """Return a typed number or word that a kind reads; raise ``UnfitError``."""
        return self._checked(kind, Scalar(NOWHERE, typed.strip(), plain_value(typed.strip())))

    def several(self, kind: Kind[object], typed: str) -> Value:
        """Return what is typed with commas between, read by a kind of list."""
        texts = [" ".join(each.split()) for each in typed.split(",")]
        items = tuple(Scalar(NOWHERE, text, text) for text in texts if text)
        return self._checked(kind, Sequence(NOWHERE, items))

    def value(self, kind: Kind[object], value: Value) -> Value:
        """Return a value that was put together, if a kind reads it; raise ``UnfitError``."""
        self._checked(kind, _node_of(value))
        return value

    def new_id(self, section: str, typed: str) -> Value:
        """Return an id that is well-formed and free; raise ``UnfitError``."""
        name = self.text(NAME, typed)
        names = names_of(self.knowledge)
        if earlier := taken(names, SECTIONS[section], str(name)):
            told = f"`{name}` is taken: a {earlier[0]} at {earlier[1]}. Choose another id."
            raise UnfitError(told)
        return name

    def near(self, section: str, name: str, title: str) -> dict[str, str]:
        """Return entries whose id or title is nearly the same, with their titles."""
        titles = self.titles(section)
        by_title = {each.lower(): key for key, each in titles.items()}
        ids = difflib.get_close_matches(name, titles, 3, NEAR)
        alike = difflib.get_close_matches(title.lower(), by_title, 3, NEAR)
        found = dict.fromkeys([*ids, *(by_title[each] for each in alike)])
        return {key: titles[key] for key in found}

    def unsafe(self, part: str, section: str, name: str, entry: Value) -> tuple[str, ...]:
        """Return why a new repair or check cannot be done so: the loader's rules of safety."""
        written = beside(entry)
        if written not in self.looked_at:
            file = f"parts/{part}.yaml"
            text = insert((self.whole.bytes_of(file) or b"").decode(), (section,), name, entry)
            _, problems = self.whole.having({file: text.encode()}).judged()
            self.looked_at[written] = tuple(
                f"{each.message} {each.hint}"
                for each in problems
                if each.code in _OF_SAFETY and each.entity == name
            )
        return self.looked_at[written]

    def told_of(self, section: str, key: str) -> str:
        """Return what a key of an entry is for."""
        return FORMS[section].keys[key].says

    def _checked(self, kind: Kind[object], node: Node) -> Value:
        """Return a value that a kind reads without a complaint: the loader's own check."""
        told: list[Problem] = []
        words = self.knowledge.words
        tables = {"likelihood": words.likelihood, "how-common": words.how_common}
        kind.read(node, Scope(names_of(self.knowledge), Vocabulary(tables), told, ("judgement",)))
        if told:
            raise UnfitError(f"{told[0].message} {told[0].hint}".strip())
        return value_of(node)


def _node_of(value: Value) -> Node:
    if isinstance(value, dict):
        return Mapping(NOWHERE, {k: NodeEntry(NOWHERE, _node_of(v)) for k, v in value.items()})
    if isinstance(value, list):
        return Sequence(NOWHERE, tuple(map(_node_of, value)))
    return Scalar(NOWHERE, str(value), value)
