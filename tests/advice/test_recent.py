"""What was worked out last is kept, so much of it."""

import pytest

from faultnet.advice.recent import Recent


def made(calls, key):
    return lambda: calls.append(key) or f"made {key}"


def test_what_was_asked_for_last_stays():
    recent, calls = Recent(2), []
    for key in ("a", "b", "a", "c", "a", "b"):
        assert recent.once(key, made(calls, key)) == f"made {key}"
    assert calls == ["a", "b", "c", "b"]


def test_what_fails_is_tried_again():
    recent = Recent(2)
    with pytest.raises(ZeroDivisionError):
        recent.once("a", lambda: 1 // 0)
    assert recent.once("a", lambda: 7) == 7
    assert recent.once("a", lambda: 1 // 0) == 7
