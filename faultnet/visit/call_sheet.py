"""What stands on the call sheet, as whoever comes later reads it."""

from faultnet.model.in_words import plain

NEED, REACH = "need", "reach"
"""Fields of the call sheet whose names say less than what was asked."""

NEEDS = {
    "medical": "Medical need, such as dialysis",
    "infant": "A baby",
    "frail": "Somebody old, ill or frail",
    "livestock": "Livestock",
    "fire": "The only water against fire",
    "freezing": "It is freezing there",
    "business": "A business or a school",
}
"""What makes water more urgent, by the word that stands on the call sheet; common practice."""

_TITLES = {NEED: "Who needs water most", REACH: "The caller could get to the pump"}


def field_said(field: str, text: str) -> str:
    """Return a field and what was told of it, as one short line."""
    title = _TITLES.get(field, plain(field).capitalize())
    return f"{title}: {needs_said(text) if field == NEED else text}"


def needs_said(text: str) -> str:
    """Return in words who needs water most, as the field was filled in."""
    return ", ".join(NEEDS.get(word, word) for word in text.split(", ") if word)
