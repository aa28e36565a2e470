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
            "title": Key(
                TEXT,
                says="What people read: what is done, in a few words. Clean or replace the foot "
                "valve.",
            ),
            "succeeds": Key(
                LIKELIHOOD,
                usual,
                says="How often it ends the cause when done as written; without it, the usual of "
                "words.yaml.",
            ),
            "proof": Key(TEXT, "", says="How to see afterwards that it worked."),
            "proof-minutes": Key(AMOUNT, Standing(0.0), says="Minutes that the proof takes."),
            "brings": Key(
                MapOf(Id("cause"), LIKELIHOOD),
                {},
                says="Causes that the work itself may bring in, with how often.",
            ),
            "parts": Key(TERMS, (), says="Parts it takes, as stock.yaml provides them."),
            "disinfect": Key(
                Choice(*DISINFECTION), "none", says="How much is disinfected afterwards."
            ),
            "or-replace": Key(
                Id("repair"),
                "",
                says="A larger repair that may be done instead and mends the same.",
            ),
            "note": Key(TEXT, "", says="A remark for whoever does it."),
            **WORK_KEYS,
        },
    )


def _repair(**values: object) -> Repair:
    work, others = work_of(values)
    return Repair(work=work, **others)
