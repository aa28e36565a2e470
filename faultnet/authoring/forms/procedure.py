"""The form of a procedure."""

from faultnet.authoring.collection import TEXTS, ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TEXT
from faultnet.authoring.naming import NAME, any_name
from faultnet.authoring.number import ANY_NUMBER
from faultnet.model.procedure import Procedure, Step

_STEP = Form(
    Step,
    {
        "do": Key(TEXT),
        "limit": Key(MapOf(any_name, ANY_NUMBER), {}),
        "stop-when": Key(TEXT, ""),
        "caution": Key(TEXT, ""),
    },
)


PROCEDURE = Form(
    Procedure,
    {
        "procedure": Key(NAME, attribute="id"),
        "title": Key(TEXT),
        "about": Key(TEXT),
        "before": Key(TEXTS, ()),
        "steps": Key(ListOf(_STEP, distinct=False)),
    },
)
