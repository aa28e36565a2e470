"""The sections of a part, with the form of their entries and what authors are told of them."""

from typing import Any

from faultnet.authoring.form import Form
from faultnet.authoring.forms.cause import CAUSE
from faultnet.authoring.forms.check import CHECK
from faultnet.authoring.forms.finding import TWO_ANSWERS, finding_form
from faultnet.authoring.forms.look_alike import LOOK_ALIKE
from faultnet.authoring.forms.reading import READING
from faultnet.authoring.forms.repair import repair_form
from faultnet.authoring.forms.set_up import SET_UP
from faultnet.authoring.number import LIKELIHOOD

FORMS: dict[str, Form[Any]] = {
    "causes": CAUSE,
    "findings": finding_form("", TWO_ANSWERS),
    "checks": CHECK,
    "repairs": repair_form(LIKELIHOOD.stand_in),
    "set-ups": SET_UP,
    "readings": READING,
    "look-alikes": LOOK_ALIKE,
}
"""Sections to the form of an entry; a finding takes whatever answers it has."""

SAYS = {
    "causes": "Faults that can be present or absent, several at once.",
    "findings": "What can be observed, with named answers.",
    "checks": "What a person does to take findings.",
    "repairs": "What removes causes.",
    "set-ups": "States of the site that checks and repairs need and share.",
    "readings": "Numbers from instruments, turned into evidence through their accuracy.",
    "look-alikes": "Causes that no cheap finding can part.",
}
"""Sections to what they hold."""
