"""The forms of the words and of a source."""

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.forms.finding import SPEAKERS
from faultnet.authoring.kind import TERM
from faultnet.authoring.naming import any_name
from faultnet.authoring.number import PROBABILITY
from faultnet.model.words import Source, Words

WORDS = Form(
    Words,
    {
        "likelihood": Key(MapOf(any_name, PROBABILITY)),
        "how-common": Key(MapOf(any_name, PROBABILITY)),
        "trust": Key(SPEAKERS, {}),
        "repair-succeeds": Key(PROBABILITY),
        "look-false-alarm": Key(PROBABILITY),
    },
)
SOURCE = Form(
    Source,
    {
        "title": Key(TERM),
        "published-as": Key(TERM, ""),
        "read": Key(TERM),
        "gives": Key(TERM, ""),
    },
)
