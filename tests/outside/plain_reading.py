"""A plain reading of the raw table of causes, to compare the ranking with.

`plain-reading.csv` holds, for each of 126 causes, a word for how common it is and words for
how often it shows what: the rows from which the knowledge was thought through. Here they are
taken as they stand: three numbers for the words of strength, three for how common, one leak,
what happened just before read like any other finding, no layout, no chains, no trust. Several
causes may be present at once; findings are noisy-OR of their causes and the leak; at least
one cause is present. `seldom` means that the cause does not show it.

Three findings are the vague words in which people begin, and hardly a row names them. They
are read through the sharper ones: no water is a silent motor or no pressure building, weak
taps are weak taps with a low or with a good gauge, a gauge at zero is no pressure building.

The published figures of such a reading are .33, .42, .54 and 2.58 (true cause first, in the
first three, in the first five, mean log loss). Its numbers are not published. Round numbers
were tried until all four came out: those below give .33, .42, .54 and 2.58. They were chosen
to reproduce the peer, not to make it better or worse.
"""

import csv
from itertools import product
from math import prod
from pathlib import Path

FILE = Path(__file__).with_name("plain-reading.csv")
STRENGTH = {"almost-always": 0.95, "often": 0.6, "sometimes": 0.3, "seldom": 0.0}
HOW_COMMON = {"common": 0.03, "occasional": 0.01, "rare": 0.005}
LEAK = 0.04
MEANS = {
    "no-water": ("motor-silent", "no-pressure-build"),
    "weak-taps": ("weak-taps-low-gauge", "weak-taps-good-gauge"),
    "gauge-at-zero": ("no-pressure-build",),
}
"""A vague finding and the sharper ones that it also stands for."""

Row = tuple[float, dict[str, float]]
"""Chance of a cause, and how often it alone shows each finding."""


def read_table() -> dict[str, Row]:
    """Return cause to its chance and strengths, the words turned into numbers."""
    with FILE.open(encoding="utf-8", newline="") as file:
        return {
            r["cause"]: (HOW_COMMON[r["how-common"]], _shows(r["shows"]))
            for r in csv.DictReader(file)
        }


def plain_chances(table: dict[str, Row], given: dict[str, str]) -> dict[str, float]:
    """Return P(cause present | answers, at least one cause present) of every cause.

    ``given`` maps a finding or circumstance to yes or no. Inclusion and exclusion over
    the findings that are yes: 2**n terms, exact.
    """
    yes = [f for f, answer in given.items() if answer == "yes"]
    no = [f for f, answer in given.items() if answer == "no"]
    present = dict.fromkeys(table, 0.0)
    total = 0.0
    for picks in product((False, True), repeat=len(yes)):
        quiet = [f for f, pick in zip(yes, picks, strict=True) if pick]
        sign = (-1) ** len(quiet)
        leak = sign * (1.0 - LEAK) ** len(quiet + no)
        shares = {
            cause: chance * prod(1.0 - shows.get(f, 0.0) for f in quiet + no)
            for cause, (chance, shows) in table.items()
        }
        terms = {cause: 1.0 - table[cause][0] + share for cause, share in shares.items()}
        whole = leak * prod(terms.values())
        total += whole - leak * prod(1.0 - chance for chance, _ in table.values())
        for cause, share in shares.items():
            present[cause] += whole * share / terms[cause]
    return {cause: mass / total for cause, mass in present.items()}


def _shows(text: str) -> dict[str, float]:
    """The strengths of one row; vague findings by noisy-OR of what they stand for."""
    words = (entry.split(":") for entry in text.split("|"))
    shows = {finding: STRENGTH[word] for finding, word in words}
    vague = {
        finding: 1.0 - prod(1.0 - shows.get(f, 0.0) for f in (finding, *sharper))
        for finding, sharper in MEANS.items()
    }
    return shows | vague
