"""The systems of one knowledge."""

from faultnet.advice.subject import Subject, make_subject
from faultnet.model.knowledge import Knowledge


class Subjects:
    """The systems of one knowledge, each made ready when it is first asked about."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Keep the knowledge; nothing is made ready yet."""
        self.knowledge = knowledge
        self._made: dict[str, Subject] = {}

    def __getitem__(self, system: str) -> Subject:
        """Return a system; raise ``UnknownNameError``."""
        if system not in self._made:
            self._made[system] = make_subject(self.knowledge, system)
        return self._made[system]
