"""The publicly reported cases of `field-cases.yaml`, as they stand there."""

from pathlib import Path

import msgspec
import yaml

FILE = Path(__file__).with_name("field-cases.yaml")


class FieldCase(msgspec.Struct, frozen=True, rename="kebab", forbid_unknown_fields=True):
    """One account: what was told before the fault was found, and the causes found then."""

    id: str
    source: str
    quality: str
    system: str
    layout: dict[str, str]
    given: dict[str, str]
    told: tuple[str, ...]
    cause: tuple[str, ...]
    settled_by: str
    note: str = ""


class _File(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    cases: tuple[FieldCase, ...]


def read_field_cases() -> tuple[FieldCase, ...]:
    """Return the cases in the order of the file; every scalar is text, so yes is yes."""
    text = FILE.read_text(encoding="utf-8")
    return msgspec.convert(yaml.load(text, yaml.CBaseLoader), _File).cases  # noqa: S506 text only
