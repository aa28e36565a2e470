"""Texts that may do harm, or that a caller does not understand."""

import re
from collections.abc import Iterator

from faultnet.authoring.problem import Problem, warning
from faultnet.authoring.texts import said_to_caller, texts
from faultnet.model.knowledge import Knowledge

_HARM = {
    "a relief valve is made useless": r"(?:plug|cap|block|shut|tie|close|remove)(?:s|ged|ped|ed|d)?"
    r"\s+(?:up\s+|off\s+|down\s+)?(?:the\s+|a\s+)?(?:relief valve|discharge of the relief)",
    "a safeguard is bridged": r"(?:bridge|jump|jumper|wedge|bypass|defeat)s?\s+(?:the\s+|a\s+)?"
    r"(?:[\w-]+\s+)?(?:switch|fuse|breaker|overload|contacts|cut-off|ground)",
    "live contacts are touched": r"(?:press|push|pull|file|hold)\s+(?:the\s+)?"
    r"(?:[\w-]+\s+)?contacts",
    "an open flame is used": r"blow\s*(?:torch|lamp)|(?:open|naked)\s+flame|candle|lighter\b",
    "somebody stands in water": r"stand(?:s|ing)?\s+in\s+(?:the\s+|deep\s+)?water",
    "somebody tastes or drinks it": r"\b(?:taste|drink)\s+(?:it|the\s+water|some)",
}
_HARMS = {
    reason: re.compile(rf"\b(?:{pattern})", re.IGNORECASE) for reason, pattern in _HARM.items()
}
_NOT = re.compile(
    r"\b(?:not|never|nobody|none|no|nor|neither|without|instead of|rather than|cannot|don't)\b"
    r"[^.;:!?]{0,60}$",
    re.IGNORECASE,
)
_TRADE = re.compile(
    r"\b(?:prim(?:e|ed|ing)|suction|cut-(?:in|out)|check valve|foot valve|impeller|diffuser"
    r"|pre-?charge|isolat\w+|venturi|cavitat\w+|inHg|psi)\b",
    re.IGNORECASE,
)


def negated(before: str) -> bool:
    """Tell whether what follows these words is warned of, not asked for."""
    return _NOT.search(before) is not None


def doubtful(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield texts that seem to ask for something harmful, or speak the trade to a caller."""
    for entity, origin, text in texts(knowledge):
        for reason, pattern in _HARMS.items():
            found = pattern.search(text)
            if found and not negated(text[: found.start()]):
                message = f'The text can be read so that {reason}: "{found[0]}".'
                hint = "Write it as a warning (never ...), or another way."
                yield warning("doubtful-text", entity, origin, message, hint)
    for entity, origin, text in said_to_caller(knowledge):
        if found := _TRADE.search(text):
            message = f"A caller may not know the word `{found[0]}`."
            hint = "Say it with words of the house: water, tap, dial, needle, pump."
            yield warning("caller-hears-trade-word", entity, origin, message, hint)
