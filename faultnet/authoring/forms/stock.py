"""The forms of what can be loaded and of what must be arranged ahead."""

from faultnet.authoring.collection import TERMS, ListOf
from faultnet.authoring.form import Form, Key, Standing
from faultnet.authoring.kind import TEXT, Choice
from faultnet.authoring.naming import Id
from faultnet.authoring.number import AMOUNT
from faultnet.model.stock import CARRIED, KEPT, Item, LeadTime

ITEM = Form(
    Item,
    {
        "title": Key(TEXT),
        "provides": Key(TERMS),
        "kept": Key(Choice(*KEPT), "truck"),
        "carried": Key(Choice(*CARRIED), "pocket"),
        "usual": Key(AMOUNT, Standing(1.0)),
        "price": Key(AMOUNT, None),
    },
)
LEAD_TIME = Form(
    LeadTime,
    {
        "title": Key(TEXT),
        "hours": Key(AMOUNT),
        "say": Key(TEXT),
        "repairs": Key(ListOf(Id("repair")), ()),
        "needs": Key(TERMS, ()),
    },
)
