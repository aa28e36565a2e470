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
        "title": Key(TEXT, says="What people read: the state of the site. House valve shut."),
        "make": Key(AMOUNT, says="Minutes to make it."),
        "undo": Key(AMOUNT, says="Minutes to undo it."),
        "who": Key(Choice(*PEOPLE), says="Who may make it."),
        "hands": Key(
            AMOUNT, Standing(1.0), says="How many people it takes; one where nothing is written."
        ),
        "requires": Key(ListOf(Id("set-up")), (), says="Set-ups that must be made before it."),
        "steps": Key(TEXTS, (), says="How it is made."),
        "cautions": Key(TEXTS, (), says="Dangers, said before the steps."),
        "procedures": Key(ListOf(Id("procedure")), (), says="Procedures that it can be made by."),
        "note": Key(TEXT, "", says="A remark for whoever makes it."),
    },
)
