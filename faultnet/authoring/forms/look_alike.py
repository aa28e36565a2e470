"""The form of a group of look-alikes."""

from faultnet.authoring.collection import ListOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TEXT
from faultnet.authoring.naming import Id
from faultnet.model.look_alike import LookAlike

LOOK_ALIKE = Form(
    LookAlike,
    {
        "causes": Key(
            ListOf(Id("cause")),
            says="Causes that no cheap finding can part; they are ranked as one group.",
        ),
        "parted-by": Key(Id("check"), says="The check that parts them."),
        "note": Key(TEXT, "", says="A remark on why they look alike."),
    },
)
