"""What people wrote about causes that the files do not have; invented."""

import numpy as np

UNLISTED_TEXTS = (
    (
        "mouse nest in the pump housing",
        "mice had nested in the pump housing, wires gnawed",
        "nest of mice in the housing of the pump",
    ),
    (
        "old shut-off valve buried in the yard was half closed",
        "somebody had half closed the buried valve in the yard",
        "buried yard valve half closed, nobody knew of it",
    ),
    (
        "neighbour drew from the same line",
        "neighbour still on the same line, drawing water",
    ),
    (
        "wrong fuse size in the sub panel of the barn",
        "barn sub panel, wrong fuse",
    ),
    ("could not say what it was",),
)
"""Groups of texts that say the same, each rarer than the one before."""
WAYS = ("{}", "found: {}", "{} (not in the list)", "it was {}")
"""How a cause that has a name is written down where the list does not have it."""


def unlisted_text(rng: np.random.Generator) -> str:
    """Return a text about something that has no name anywhere."""
    weights = 0.5 ** np.arange(len(UNLISTED_TEXTS))
    group = UNLISTED_TEXTS[int(rng.choice(len(weights), p=weights / weights.sum()))]
    return group[int(rng.integers(len(group)))]


def missing_text(title: str, rng: np.random.Generator) -> str:
    """Return a text about a cause that others have a name for."""
    return WAYS[int(rng.integers(len(WAYS)))].format(title[:1].lower() + title[1:])
