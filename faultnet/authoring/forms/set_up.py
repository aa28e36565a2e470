"""The form of a set-up."""

from faultnet.authoring.collection import TEXTS, ListOf
from faultnet.authoring.form import Form, Key, Standing
from faultnet.authoring.kind import TEXT, Choice
from faultnet.authoring.naming import Id
from faultnet.authoring.number import AMOUNT
from faultnet.model.check import PEOPLE
from faultnet.model.set_up import SetUp

SET_UP = Form(
    SetUp,
    {
        "title": Key(TEXT),
        "make": Key(AMOUNT),
        "undo": Key(AMOUNT),
        "who": Key(Choice(*PEOPLE)),
        "hands": Key(AMOUNT, Standing(1.0)),
        "requires": Key(ListOf(Id("set-up")), ()),
        "steps": Key(TEXTS, ()),
        "cautions": Key(TEXTS, ()),
        "procedures": Key(ListOf(Id("procedure")), ()),
        "note": Key(TEXT, ""),
    },
)
