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
        "title": Key(TEXT, says="What people read: the thing."),
        "provides": Key(TERMS, says="Parts and tools of repairs and checks that it serves as."),
        "kept": Key(Choice(*KEPT), "truck", says="Where it is kept."),
        "carried": Key(Choice(*CARRIED), "pocket", says="How it is carried; priced in the rates."),
        "usual": Key(AMOUNT, Standing(1.0), says="How many are usually on a truck."),
        "price": Key(AMOUNT, None, says="What the customer pays for one."),
    },
)
LEAD_TIME = Form(
    LeadTime,
    {
        "title": Key(TEXT, says="What people read: what must be arranged."),
        "hours": Key(AMOUNT, says="Hours that it takes."),
        "say": Key(TEXT, says="What to tell whoever arranges it."),
        "repairs": Key(ListOf(Id("repair")), (), says="Repairs that need it."),
        "needs": Key(TERMS, (), says="Parts or tools whose repairs need it."),
    },
)
