"""Nobody is told to enter or lean into a cistern, whatever the wording."""

import pytest

from faultnet.authoring.safe_text import tells_to_enter

REFUSED = [
    "Enter the cistern with a torch.",
    "Lean into the hatch and feel for the valve.",
    "Lean over the hatch.",
    "Open the lid, then lean far out over the opening.",
    "Climb down into the well.",
    "Climb into the tank.",
    "Get in the pit and look.",
    "Go down into the dry well and free the line.",
    "Open the hatch and climb in.",
    "Reach into the cistern and pull the valve off.",
    "Reach down through the hatch.",
    "Put your head through the hatch.",
    "Put an arm into the tank.",
    "Lower yourself into the cistern.",
    "Let a helper down into the well by rope.",
    "Send somebody into the pit.",
    "The second person enters the cistern.",
    "The specialist climbs into the old brick cistern.",
    "Never mind the dark, climb into the cistern.",
    "Do not hesitate to lean into the hatch.",
    "Do not forget to enter the tank.",
    "Nobody but you enters the cistern.",
    "Never enter the cistern without a rope.",
    "Do not lean over the hatch alone.",
    "Do not worry. Lean into the hatch.",
    "Can you lean into the hatch and see the valve?",
    "LEAN INTO THE CISTERN",
    "Free the strainer by leaning into the cistern.",
    "Stand on the ladder; step down into the pit.",
    "Crawl through the manhole.",
    "Do not only look, but enter the cistern.",
]
KEPT = [
    "Do not lean into the hatch.",
    "Nobody enters the cistern.",
    "Never climb into the tank.",
    "Don't reach into the well.",
    "Do not enter, climb into or lean into the cistern.",
    "Nobody goes in, and nobody leans over the opening.",
    "Never let anyone climb into the cistern.",
    "No one may enter or lean into the pit.",
    "Is anybody in a cistern, well or pit, or about to go in or look in?",
    "If somebody enters the cistern, call the fire service.",
    "Most who die in such places went in to help.",
    "Whoever wants to climb into the tank is stopped.",
    "Keep head and body outside the opening.",
    "Lower a clean stick into the cistern.",
    "Let the water run into the tank.",
    "Enter the tank pressure into the report.",
    "Wait until air goes into the tank.",
    "Lift the line out through the hatch with a rope.",
    "Follow each pipe to the well head.",
    "Look into the cistern from the rim with a torch.",
    "Reach the valve with a hook on a pole.",
    "Go into the house as well.",
    "Set the air of the new tank under cut-in before any water goes in.",
    "Good air in the tank and still no storage, for the water cannot get in or out.",
    "Open the drain, and once flow has stopped a plug high on the tank so that air gets in.",
    "Water may get into the well through the lid.",
    "Stay upright outside the hatch and let the stick do the reaching.",
]


@pytest.mark.parametrize("text", REFUSED)
def test_telling_is_refused(text: str) -> None:
    assert tells_to_enter(text)


@pytest.mark.parametrize("text", KEPT)
def test_other_texts_are_kept(text: str) -> None:
    assert tells_to_enter(text) == ""
