"""From the bytes of one file to positioned values; strict, on the C parser."""

import yaml

from faultnet.authoring.code import Code
from faultnet.authoring.files import File
from faultnet.authoring.node import Entry, Mapping, Node, Scalar, Sequence
from faultnet.authoring.problem import Problem, problem
from faultnet.authoring.scalar import plain_value
from faultnet.authoring.text import place_in, text_of
from faultnet.model.origin import Origin

DEEPEST = 40
"""Levels of nesting beyond which a file is refused."""


def parse(file: File) -> tuple[Node | None, tuple[Problem, ...]]:
    """Return what the file holds, or None with the problems that hinder reading it."""
    text, problems = text_of(file)
    if text is None:
        return None, problems
    events = _Events(file.shown, text)
    try:
        node = events.document()
    except yaml.YAMLError as error:
        events.told.append(_syntax(file.shown, text, error))
        node = None
    except _RefusalError as refused:
        events.told.append(refused.problem)
        node = None
    return (None if events.unsure else node), tuple(events.told)


class _RefusalError(Exception):
    """Reading stops here."""

    def __init__(self, told: Problem) -> None:
        super().__init__(told.message)
        self.problem = told


class _Events:
    """The events of one text, turned into nodes."""

    def __init__(self, shown: str, text: str) -> None:
        self.shown = shown
        self.parser = yaml.CLoader(text)
        self.told: list[Problem] = []
        self.unsure = False

    def document(self) -> Node | None:
        """Read the one document of the text."""
        self.next()
        event = self.next()
        if isinstance(event, yaml.StreamEndEvent):
            place = Origin(self.shown, 1, 1)
            hint = "Write into it or remove it."
            self.told.append(problem("empty-file", place, "The file holds nothing.", hint))
            return None
        node = self.node(self.next(), 0)
        self.next()
        event = self.next()
        if not isinstance(event, yaml.StreamEndEvent):
            self.refuse(
                "second-document", event, "A second document starts here.", "Remove the line `---`."
            )
        return node

    def next(self) -> yaml.Event:
        """Return the next event."""
        event = self.parser.get_event()
        assert event is not None
        return event

    def node(self, event: yaml.Event, depth: int) -> Node:
        """Return the node that starts with an event."""
        if depth > DEEPEST:
            self.refuse(
                "syntax",
                event,
                f"More than {DEEPEST} levels stand inside each other.",
                "Nothing here needs more than ten.",
            )
        if isinstance(event, yaml.NodeEvent) and event.anchor is not None:
            self.refuse(
                "alias-refused",
                event,
                "Anchors (&) and aliases (*) are not read.",
                "Write the text out, or put it in quotes if the sign belongs to it.",
            )
        if isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent) and event.tag:
            self.refuse(
                "tag-refused",
                event,
                "Tags (!) are not read.",
                "Remove the tag, or put the text in quotes.",
            )
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event)
        if isinstance(event, yaml.SequenceStartEvent):
            return self.sequence(event, depth)
        return self.mapping(event, depth)

    def scalar(self, event: yaml.ScalarEvent) -> Scalar:
        """Return a single value; what is quoted is text."""
        value = plain_value(event.value) if event.implicit[0] else event.value
        return Scalar(self.at(event), event.value, value)

    def sequence(self, start: yaml.Event, depth: int) -> Sequence:
        """Return a list."""
        items = []
        while not isinstance(event := self.next(), yaml.SequenceEndEvent):
            items.append(self.node(event, depth + 1))
        return Sequence(self.at(start), tuple(items))

    def mapping(self, start: yaml.Event, depth: int) -> Mapping:
        """Return a mapping; of equal keys the first is kept and the others are told."""
        entries: dict[str, Entry] = {}
        while not isinstance(event := self.next(), yaml.MappingEndEvent):
            key = self.node(event, depth + 1)
            entry = Entry(key.origin, self.node(self.next(), depth + 1))
            if not isinstance(key, Scalar) or not key.text:
                self.unsure = True
                self.tell(
                    "wrong-type", event, "A key must be a word.", "Put a name before the colon."
                )
            elif key.text in entries:
                self.tell(
                    "duplicate-key",
                    event,
                    f"The key `{key.text[:40]}` stands already in line "
                    f"{entries[key.text].origin.line}.",
                    "Remove one of the two.",
                )
            else:
                entries[key.text] = entry
        return Mapping(self.at(start), entries)

    def at(self, event: yaml.Event) -> Origin:
        """Return the place where an event starts."""
        mark = event.start_mark
        assert mark is not None
        return Origin(self.shown, mark.line + 1, mark.column + 1)

    def tell(self, code: Code, event: yaml.Event, message: str, hint: str = "") -> None:
        """Note a problem and read on."""
        self.told.append(problem(code, self.at(event), message, hint))

    def refuse(self, code: Code, event: yaml.Event, message: str, hint: str = "") -> None:
        """Stop with a problem."""
        raise _RefusalError(problem(code, self.at(event), message, hint))


def _syntax(shown: str, text: str, error: yaml.YAMLError) -> Problem:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    place = place_in(shown, text, mark.line + 1, mark.column + 1) if mark else Origin(shown, 1, 1)
    reason = getattr(error, "problem", None) or "the text is not YAML"
    context = getattr(error, "context", None)
    message = f"This is not YAML: {f'{context}, ' if context else ''}{reason}."
    return problem("syntax", place, message, _syntax_hint(reason))


def _syntax_hint(reason: str) -> str:
    if "mapping values are not allowed" in reason:
        return "Put text that holds a colon and a space in quotes."
    if "cannot start any token" in reason:
        return "Indent with spaces, never tabs; put text that starts with a sign in quotes."
    return "Look at this line and the one above: indent, colons, brackets and quotes."
