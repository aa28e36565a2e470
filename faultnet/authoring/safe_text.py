"""Texts that would send a person, or a part of one, into a cistern, tank, well or pit."""

import re

_PLACE = (
    r"(?:(?:the|a|an|its|your|this|that|any|each|every|their|his|her)\s+)?"
    r"(?:(?!(?:on|of|at|from|in|to|and|or|as|by|near|beside|for|with|after|before)\b)[\w-]+\s+){0,2}?"
    r"(?:open\s+)?(?<!as )(?:cisterns?|tanks?|wells?|pits?|hatch(?:es)?|manholes?|vaults?|sumps?"
    r"|reservoirs?|shafts?|openings?|chambers?)\b"
)
_NOT_A_FIGURE = r"(?!\s+(?:pressure|size|level|gauge|reading|number|name|volume|depth|data|air)\b)"
_INTO = (
    r"(?:down\s+|up\s+|right\s+|back\s+|far\s+|well\s+|carefully\s+|slowly\s+|out\s+"
    r"|head\s+first\s+)*"
)
_BODY = r"(?:heads?|arms?|hands?|shoulders?|upper\s+body|body|feet|foot|legs?|face|self)"
_PERSON = (
    r"(?:yourself|himself|herself|oneself|somebody|someone|a\s+(?:person|man|helper|child|boy)"
    r"|the\s+(?:helper|customer|caller|child|owner|apprentice)|your\s+(?:helper|mate))"
)
_GO = (
    r"(?:climb(?:s|ing)?|get(?:s|ting)?|go(?:es|ing)?|step(?:s|ping)?|crawl(?:s|ing)?|drop(?:s|ping)?"
    r"|jump(?:s|ing)?|squeez(?:e|es|ing)|slid(?:e|es|ing)|descend(?:s|ing)?|hop(?:s|ping)?"
    r"|wad(?:e|es|ing)|duck(?:s|ing)?|venture(?:s)?"
    rf"|(?:lower(?:s|ing)?|let(?:s|ting)?|send(?:s|ing)?|put(?:s|ting)?|help(?:s|ing)?)\s+{_PERSON})"
)
_LEAN = (
    r"(?:lean(?:s|ing)?|reach(?:es|ing)?|bend(?:s|ing)?|hang(?:s|ing)?|stretch(?:es|ing)?"
    r"|stoop(?:s|ing)?)"
)
_STICK = (
    r"(?:puts?|putting|sticks?|sticking|holds?|places?|dips?|push|poke)"
    rf"\s+(?:your|the|a|his|her|one|an)\s+(?:[\w-]+\s+)?{_BODY}"
)
_THERE = (
    rf"{_INTO}(?:in(?:to|side)?|down|through|within)\s+(?:to\s+|through\s+|of\s+|over\s+)?{_PLACE}"
)
_OVER = rf"{_INTO}(?:in(?:to|side)?|over|down|through|across)\s+(?:to\s+|into\s+)?{_PLACE}"
_VERB = (
    rf"(?:enter(?:s|ing)?\s+(?:into\s+)?{_PLACE}{_NOT_A_FIGURE}"
    rf"|{_GO}\s+{_THERE}|{_LEAN}\s+{_OVER}|{_STICK}\s+{_OVER}"
    rf"|(?:climb(?:s|ing)?|get(?:s|ting)?|go(?:es|ing)?|step(?:s|ping)?|lean(?:s|ing)?|reach(?:es|ing)?"
    r"|crawl(?:s|ing)?)\s+(?:down\s+)?(?:in|inside|over)(?=\s*(?:$|[,.;:!?]|\b(?:and|to|with)\b)))"
)
_ENTERING = re.compile(rf"\b{_VERB}", re.IGNORECASE)
_NAMED = re.compile(
    r"(?:cistern|tank|(?<!as )\bwell|\bpit|hatch|manhole|vault|sump|reservoir|shaft|opening"
    r"|chamber)(?:s|es)?\b",
    re.IGNORECASE,
)
_THING = re.compile(
    r"\b(?:air|gas|water|rain|dirt|dust|sand|silt|mud|leaves|light|frost|insects?|ants|mice|animals?"
    r"|debris|oil|fuel|bleach|chlorine|line|pipe|hose|stick|rope|hook|gauge|valve|float|strainer"
    r"|camera|torch|it|which)"
    r"(?:\s+(?:may|can|cannot|could|will|must|should|to|still|then|first|back))*\s+$",
    re.IGNORECASE,
)
_NEGATED = re.compile(
    r"(?:\b(?:not|never|nobody|no\s*-?\s*one|none|without|nor|neither|no\s+person)|n't)"
    r"(?:[\s,]+(?:ever|even|let|lets|allow|ask|tell|have|try|dare|be|is|are|may|must|should|shall|can"
    r"|has|to|or|and|then|into|in|inside|over|down|anyone|anybody|somebody|someone|a|the|people|person"
    r"|yourself|children|child|caller|customer|helper|else|nobody|ever|here|body|head"
    r"|enters?|climbs?|leans?|reach(?:es)?|goes|go|gets?|steps?|crawls?|descends?|bends?|puts?"
    r"|cistern|tank|well|pit|hatch|it|your|their))*[\s,]+$",
    re.IGNORECASE,
)
_REPORTED = re.compile(
    r"\b(?:about\s+to|wants?\s+to|wanted\s+to|who|that\s+would\s+mean"
    r"|if\s+(?:anyone|anybody|someone|somebody|a\s+person|people))"
    r"(?:\s+(?:has|have|had|must|may|is|are|to|ever|still|also))*\s+$",
    re.IGNORECASE,
)
_LOOPHOLE = re.compile(r"\b(?:unless|without|until|except|before|alone|only)\b", re.IGNORECASE)
_BIDDING = re.compile(r"(?:^|[:;,.]|\b(?:you|please|then|and|to))\s*$", re.IGNORECASE)
_NEAR = 200
_SENTENCE = re.compile(r"[^.!?;]*[.!?;]?")


def tells_to_enter(text: str) -> str:
    """Return the phrase that tells somebody to enter or lean into such a place, or nothing.

    A plain negation (never climb into, nobody enters) is no telling; one with a way out
    (never enter without a rope) is.
    """
    if _NAMED.search(text) is None:
        return ""
    for sentence in _SENTENCE.findall(text):
        for found in _ENTERING.finditer(sentence):
            if _told(sentence, found.start(), found.end()):
                return found[0].strip()
    return ""


def _told(sentence: str, start: int, end: int) -> bool:
    before = sentence[max(0, start - _NEAR) : start]
    if _NEGATED.search(before):
        return _LOOPHOLE.search(sentence[end : end + _NEAR]) is not None
    if _REPORTED.search(before) or _THING.search(before):
        return False
    return not sentence.endswith("?") or _BIDDING.search(before) is not None
