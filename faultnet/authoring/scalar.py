"""What a plain YAML word means, by the core schema of YAML 1.2."""

import re

from faultnet.authoring.node import Plain

_FIXED: dict[str, Plain] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL"), None),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys((".nan", ".NaN", ".NAN"), float("nan")),
    **dict.fromkeys((".inf", ".Inf", ".INF", "+.inf", "+.Inf", "+.INF"), float("inf")),
    **dict.fromkeys(("-.inf", "-.Inf", "-.INF"), float("-inf")),
}
_INT = re.compile(r"[-+]?[0-9]+", re.ASCII)
_OCTAL = re.compile(r"0o[0-7]+", re.ASCII)
_HEX = re.compile(r"0x[0-9a-fA-F]+", re.ASCII)
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", re.ASCII)
_NUMBER_START = frozenset("+-.0123456789")
_LONGEST_INT = 300


def plain_value(text: str) -> Plain:
    """Return the value of an unquoted scalar: `no` is text, `010` is ten, `1e-3` a float.

    A whole number of more than 300 digits counts as infinite.
    """
    if text in _FIXED:
        return _FIXED[text]
    if text[0] not in _NUMBER_START:
        return text
    if _INT.fullmatch(text):
        return int(text) if len(text) <= _LONGEST_INT else float(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    if _OCTAL.fullmatch(text):
        return _based(text, 8)
    return _based(text, 16) if _HEX.fullmatch(text) else text


def _based(text: str, base: int) -> int | float:
    return int(text[2:], base) if len(text) <= _LONGEST_INT else float("inf")
