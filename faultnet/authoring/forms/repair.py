"""The form of a repair."""

from faultnet.authoring.collection import TERMS, MapOf
from faultnet.authoring.form import Form, Key, Standing
from faultnet.authoring.forms.work import WORK_KEYS, work_of
from faultnet.authoring.kind import TEXT, Choice
from faultnet.authoring.naming import Id
from faultnet.authoring.number import AMOUNT, LIKELIHOOD
from faultnet.model.origin import Number
from faultnet.model.repair import DISINFECTION, Repair


def repair_form(usual: Number) -> Form[Repair]:
    """Return the form; ``usual`` is the chance to succeed where none is written."""
    return Form(
        _repair,
        {
            "title": Key(TEXT),
            "succeeds": Key(LIKELIHOOD, usual),
            "proof": Key(TEXT, ""),
            "proof-minutes": Key(AMOUNT, Standing(0.0)),
            "brings": Key(MapOf(Id("cause").check, LIKELIHOOD), {}),
            "parts": Key(TERMS, ()),
            "disinfect": Key(Choice(*DISINFECTION), "none"),
            "or-replace": Key(Id("repair"), ""),
            "note": Key(TEXT, ""),
            **WORK_KEYS,
        },
    )


def _repair(**values: object) -> Repair:
    work, others = work_of(values)
    return Repair(work=work, **others)
