"""What the pages say, in one language: their own texts, and what is said about entries."""

from functools import cache
from pathlib import Path

from faultnet.handbook import wording as handbook
from faultnet.handbook.wording import SHIPPED, Wording, texts_of

TEXTS = Path(__file__).parent / "texts"
"""One file for each language, named by its tag (RFC 5646)."""


@cache
def wording(language: str = SHIPPED) -> Wording:
    """Return the texts of a language, read once."""
    about = handbook.wording(language).texts
    return Wording(language, {**about, **texts_of(TEXTS, language)})
