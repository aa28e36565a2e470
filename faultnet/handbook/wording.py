"""Texts by their names, in one language, out of files."""

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

TEXTS = Path(__file__).parent / "texts"
"""One file for each language, named by its tag (RFC 5646)."""

SHIPPED = "en"
"""The language that the knowledge and the conversation are written in."""


class Wording:
    """The texts of one language, by names such as ``cause.repair``."""

    def __init__(self, language: str, texts: dict[str, str]) -> None:
        """Keep the texts."""
        self.language = language
        self.texts = texts

    def __call__(self, name: str, **fields: object) -> str:
        """Return a text with its fields filled; raise ``KeyError`` for one that is not there."""
        return self.texts[name].format(**fields)


@cache
def wording(language: str = SHIPPED) -> Wording:
    """Return what is said about entries in a language, read once."""
    return Wording(language, texts_of(TEXTS, language))


def texts_of(folder: Path, language: str) -> dict[str, str]:
    """Return the texts of a language in a folder."""
    return _flat(tomllib.loads((folder / f"{language}.toml").read_text("utf-8")), "")


def _flat(table: dict[str, Any], before: str) -> dict[str, str]:
    """Return the texts of nested tables by their names with dots."""
    found: dict[str, str] = {}
    for key, value in table.items():
        name = f"{before}{key}"
        found |= _flat(value, f"{name}.") if isinstance(value, dict) else {name: str(value)}
    return found
