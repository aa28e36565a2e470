"""The forms of the words and of a source."""

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.forms.finding import SPEAKERS, TRUST
from faultnet.authoring.kind import TERM
from faultnet.authoring.naming import NAME
from faultnet.authoring.node import Mapping, Node
from faultnet.authoring.number import PROBABILITY
from faultnet.authoring.scope import Scope
from faultnet.model.finding import Trust
from faultnet.model.words import Source, Words


class _OfEach(MapOf[Trust]):
    """What the word of each speaker is worth; none may be left out."""

    def read(self, node: Node, scope: Scope) -> dict[str, Trust]:
        """Return the trust by speaker."""
        for speaker in ("caller", "technician"):
            if isinstance(node, Mapping) and speaker not in node.entries:
                message = f"Nothing says what the word of a {speaker} is worth."
                hint = f"Add `{speaker}: {{hit: 0.9, false-alarm: 0.03}}` with numbers of yours."
                scope.tell("missing-key", node.origin, message, hint)
        return super().read(node, scope)


WORDS = Form(
    Words,
    {
        "likelihood": Key(
            MapOf(NAME, PROBABILITY), says="The words for how often, each with its number."
        ),
        "how-common": Key(
            MapOf(NAME, PROBABILITY),
            says="The words for how common a cause is per trouble call, each with its number.",
        ),
        "trust": Key(
            _OfEach(SPEAKERS.keys, TRUST),
            says="What a plain yes and no of a caller and of a technician are worth.",
        ),
        "repair-succeeds": Key(
            PROBABILITY, says="How often a repair ends its cause, where it does not say otherwise."
        ),
        "look-false-alarm": Key(
            PROBABILITY, says="How often one believes to see a fault that is not there."
        ),
    },
)
SOURCE = Form(
    Source,
    {
        "title": Key(TERM, says="The title of the publication."),
        "published-as": Key(TERM, "", says="Where and when it was published."),
        "read": Key(TERM, says="How far it was read: looked at, or recalled."),
        "gives": Key(TERM, "", says="What it gives."),
    },
)
