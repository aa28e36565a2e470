"""The words of a text that may say what was wrong."""

import re
from collections.abc import Iterator

FEWEST = 6
"""Texts that a word stands in at least, before anything is made of it."""
SHORTEST = 3
"""Letters of a word that is looked at."""
EMPTY_WORDS = frozenset(
    re.findall(
        r"[a-z]+",
        "about after again all and any are because been before but came can cause could did does "
        "due for found from got had has have his into its just like more most not off only onto "
        "out over own seen she some than that the their them then there they this too under "
        "until very was were what when where which while who with would you your",
    )
)
"""Words that say nothing of what was wrong."""

_WORD = re.compile(r"[^\W\d_]+")


def words_of(text: str) -> frozenset[str]:
    """Return the words of a text that may say what was wrong; one and several are one."""
    return frozenset(word for _, word in in_order(text))


def in_order(text: str) -> Iterator[tuple[str, str]]:
    """Yield each of these words as it stands there, in small letters, and as it is counted."""
    for word in _WORD.findall(text.lower()):
        counted = word.rstrip("s")
        if word not in EMPTY_WORDS and len(counted) >= SHORTEST:
            yield word, counted
