"""The open formats a network can be read from and written to, by the suffix of the file."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

from faultnet.network.formats.draft import Draft
from faultnet.network.tables import Tables

SUFFIXES = {
    ".bif": "bif",
    ".xmlbif": "xmlbif",
    ".xml": "xmlbif",
    ".uai": "uai",
    ".net": "net",
}
"""Suffix of a file to the format it should be in."""
NAMES = tuple(dict.fromkeys(SUFFIXES.values()))
"""Formats by name."""


@dataclass(frozen=True)
class Format:
    """How a format is read and written; both raise ``NetworkFileError``."""

    read: Callable[[str, str], Draft]
    write: Callable[[Tables], str]


def format_named(name: str) -> Format:
    """Return a format by its name."""
    module = import_module(f"{__name__}.{name}")
    return Format(module.read, module.write)
