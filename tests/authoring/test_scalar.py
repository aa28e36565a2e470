"""Plain words against the core schema of YAML.

Source of the first table: YAML Ain't Markup Language, version 1.2.2 (2021), section 10.3.2
and example 10.9 "Core Tag Resolution". Second table: forms that version 1.1 read as booleans,
octal, binary, base 60 and dates, and that section 10.3.2 does not list. Both from memory.
"""

import math

import pytest

from faultnet.authoring.scalar import plain_value

CORE: list[tuple[str, object]] = [
    ("null", None),
    ("Null", None),
    ("NULL", None),
    ("~", None),
    ("", None),
    ("true", True),
    ("True", True),
    ("TRUE", True),
    ("false", False),
    ("0", 0),
    ("-19", -19),
    ("0o7", 7),
    ("0x3A", 58),
    ("0.", 0.0),
    ("-0.0", 0.0),
    (".5", 0.5),
    ("+12e03", 12000.0),
    ("-2E+05", -200000.0),
    (".inf", math.inf),
    ("-.Inf", -math.inf),
    ("+.INF", math.inf),
]
NO_LONGER: list[tuple[str, object]] = [
    ("yes", "yes"),
    ("no", "no"),
    ("on", "on"),
    ("off", "off"),
    ("Yes", "Yes"),
    ("NO", "NO"),
    ("y", "y"),
    ("n", "n"),
    ("010", 10),
    ("1e-3", 0.001),
    ("1_000", "1_000"),
    ("12:30", "12:30"),
    ("2001-12-14", "2001-12-14"),
    ("<<", "<<"),
    ("=", "="),
    ("0b1", "0b1"),
    ("+", "+"),
    (".", "."),
    ("1e", "1e"),
    ("-", "-"),
    ("0x", "0x"),
    ("\u0661", "\u0661"),
]


@pytest.mark.parametrize(("text", "value"), CORE + NO_LONGER)
def test_plain_value(text: str, value: object) -> None:
    assert plain_value(text) == value
    assert type(plain_value(text)) is type(value)


def test_nan_is_a_float() -> None:
    found = plain_value(".NaN")
    assert isinstance(found, float)
    assert math.isnan(found)


def test_endless_whole_numbers_count_as_infinite() -> None:
    assert plain_value("9" * 5000) == math.inf
    assert plain_value("0x" + "f" * 5000) == math.inf
