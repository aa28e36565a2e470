"""The grade of a text, by the published formula, worked out by hand."""

import pytest

from faultnet.authoring.lint.grade import grade, sentences, words


def test_words_and_sentences() -> None:
    text = "Read 1.13 times, then shut it. Is a foot-valve's disc gone? - No!"
    assert words(text)[:2] == ["Read", "1.13"]
    assert len(words(text)) == 12
    assert sentences(text) == [
        "Read 1.13 times, then shut it.", "Is a foot-valve's disc gone?", "- No!",
    ]  # fmt: skip


def test_grade_by_hand() -> None:
    """Senter and Smith (AMRL-TR-66-220, 1967): 4.71 L/W + 0.5 W/S - 21.43.

    Five words of 3 + 4 + 4 + 4 + 5 = 20 letters in one sentence: 18.84 + 2.5 - 21.43.
    """
    assert grade("Has your pump lost water?") == pytest.approx(-0.09)
    assert grade("Has your pump lost water? Has your pump lost water?") == pytest.approx(-0.09)
    assert grade("") == 0.0


def test_longer_words_and_longer_sentences_are_harder() -> None:
    plain = grade("Does it stop? Does it start again?")
    assert grade("Does it stop and does it start again?") > plain
    assert grade("Does it discontinue? Does it recommence?") > plain
