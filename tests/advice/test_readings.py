"""Readings become likelihoods: held against drawing at random, and against plain properties."""

import math

import msgspec
import numpy as np
import pytest

from faultnet.advice.observe import observe, read
from faultnet.advice.possibilities import UnfitReadingError, possibilities
from faultnet.advice.readings import figures, likelihoods, outcomes
from faultnet.advice.subject import UnknownNameError
from faultnet.model.evidence import Evidence, Round, Taken
from faultnet.model.origin import NOWHERE, Number
from faultnet.model.reading import Unknown
from tests.advice.measured import weighed

DRAWS = 200_000
TANK = {"tank": 44, "precharge": 28}
TWO_DEVIATIONS = math.erf(math.sqrt(2.0))
"""The chance of being within two deviations."""


def draw(seed=7):
    return np.random.default_rng(seed)


def boyle(start, end, minutes, air_gal):
    """The leak by Boyle's law, written here apart from the program."""
    outside = 14.696
    return air_gal * (start + outside) * (1 / (end + outside) - 1 / (start + outside)) / minutes


def open_leak(subject):
    """Return the leak reading as if the air of the tank might also be unknown."""
    wide = Unknown(Number(0.1, NOWHERE, ()), Number(119.0, NOWHERE, ()))
    leak = subject.knowledge.readings["leak"]
    takes = {**leak.takes, "air": "gal"}
    unread = {"optional": ("tank", "precharge"), "unknown": {"air": wide}}
    return msgspec.structs.replace(leak, takes=takes, **unread)


def test_accuracy_is_two_deviations(subject):
    """A fall 1 psi under the threshold leaves the chance beyond two deviations, on one side."""
    chances = weighed(subject, "hold", start=50, end=49, minutes=15)
    assert chances["yes"] == pytest.approx((1 - TWO_DEVIATIONS) / 2, rel=1e-9)
    assert sum(chances.values()) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("hold", {"start": 50, "end": 48, "minutes": 15}),
        ("pressure-gone", {"minutes": 2}),
        ("running-volts", {"volts": 103.5, "plate": 115}),
        ("insulation", {"megohms": 1}),
        ("start-capacitor", {"measured": 189, "least": 189, "most": 227}),
        ("run-capacitor", {"measured": 26.5, "marked": 25, "tolerance": 6}),
        ("running-amps", {"amps": 11.5, "plate": 10, "service_factor": 1.15}),
        ("fill", {"seconds": 100, "drawdown": 10, "rated": 10}),
    ],
)
def test_at_the_threshold_it_is_one_half(subject, name, parts):
    assert weighed(subject, name, **parts)["yes"] == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "part", "values", "rising", "others"),
    [
        ("hold", "end", range(50, 30, -2), True, {"start": 50, "minutes": 15}),
        ("leak", "end", range(50, 30, -2), True, {**TANK, "start": 50, "minutes": 15}),
        ("leak", "minutes", range(5, 200, 20), False, {**TANK, "start": 50, "end": 47}),
        ("running-volts", "volts", range(90, 125, 3), False, {"plate": 115}),
        ("wire-volts", "motor", range(100, 121), False, {"panel": 120}),
        ("running-amps", "amps", range(5, 25), True, {"plate": 10}),
        ("insulation", "megohms", range(12), False, {}),
        ("fill", "seconds", range(20, 900, 40), True, {"drawdown": 6}),
        ("drawdown", "drawdown", range(1, 20), False, {"tank": 44, "cut_in": 30, "cut_out": 50}),
        ("run-capacitor", "measured", range(25, 45), True, {"marked": 25}),
    ],
)
def test_more_of_it_says_more(subject, name, part, values, rising, others):
    chances = [weighed(subject, name, **others, **{part: value})["yes"] for value in values]
    steps = np.diff(chances if rising else chances[::-1])
    assert (steps >= -1e-12).all()
    assert abs(chances[-1] - chances[0]) > 0.5


def test_an_unknown_friction_is_drawn_at_random(subject):
    random = draw()
    vacuum = 16.0 + random.normal(0, 0.5, DRAWS)
    lift = 12.0 + random.normal(0, 0.5, DRAWS)
    friction = random.uniform(1.13, 4.53, DRAWS)
    left = vacuum - (lift + friction) * 0.8826
    found = weighed(subject, "vacuum", vacuum=16, lift=12)
    assert found["vacuum-high"] == pytest.approx((left > 2.5).mean(), abs=0.005)
    assert found["none"] == pytest.approx((abs(left) <= 2.5).mean(), abs=0.005)


@pytest.mark.parametrize(
    ("tank", "end", "minutes"), [(20, 47.0, 15), (119, 49.0, 15), (44, 49.2, 10)]
)
def test_an_unknown_air_in_a_tank_of_known_size_is_drawn_at_random(subject, tank, end, minutes):
    random = draw()
    first, last = (read + random.normal(0, 0.35, DRAWS) for read in (50.0, end))
    air = 0.1 * np.power(tank * random.normal(1, 0.025, DRAWS) / 0.1, random.uniform(0, 1, DRAWS))
    drawn = (boyle(first, last, minutes, air) > 0.03).mean()
    parts = {"start": 50.0, "end": end, "minutes": minutes, "tank": tank}
    found = outcomes(open_leak(subject), subject.system, parts, {})
    assert found["yes"] == pytest.approx(drawn, abs=0.01)


def test_a_known_precharge_is_drawn_at_random(subject):
    random = draw()
    first, last = (read + random.normal(0, 0.35, DRAWS) for read in (50.0, 48.5))
    precharge = 28 + random.normal(0, 1, DRAWS)
    air = 20 * random.normal(1, 0.025, DRAWS) * (precharge + 14.696) / (first + 14.696)
    drawn = (boyle(first, last, 12, air) > 0.03).mean()
    found = weighed(subject, "leak", start=50, end=48.5, minutes=12, tank=20, precharge=28)
    assert found["yes"] == pytest.approx(drawn, abs=0.01)


def test_an_unread_plate_is_that_of_the_supply(subject):
    known = weighed(subject, "running-volts", {"supply": "230"}, volts=200)
    assert known == weighed(subject, "running-volts", volts=200, plate=230)
    shares = {value: n.value for value, n in subject.system.layout["supply"].items()}
    open_ = weighed(subject, "running-volts", volts=200)["yes"]
    each = {v: weighed(subject, "running-volts", volts=200, plate=float(v))["yes"] for v in shares}
    assert open_ == pytest.approx(sum(shares[v] * each[v] for v in shares), abs=1e-9)


def test_an_unread_service_factor_widens_it(subject):
    sure = weighed(subject, "running-amps", amps=11.5, plate=10, service_factor=1.0)["yes"]
    open_ = weighed(subject, "running-amps", amps=11.5, plate=10)["yes"]
    spared = weighed(subject, "running-amps", amps=11.5, plate=10, service_factor=1.35)["yes"]
    assert spared < 0.01
    assert 0.3 < open_ < 0.6
    assert sure > 0.99


def test_nothing_known_of_the_tank_says_little(subject):
    """A fall of 2 psi is a leak of anything between one and a thousand."""
    parts = {"start": 50.0, "end": 46.0, "minutes": 15.0}
    each = possibilities(open_leak(subject), subject.system, parts, {})
    assert max(p.value for p in each) > 300 * min(p.value for p in each)
    assert 0.2 < outcomes(open_leak(subject), subject.system, parts, {})["yes"] < 0.8


def test_a_family_keeps_the_ratios_of_its_outcomes(subject):
    reading = subject.knowledge.readings["precharge"]
    chances = weighed(subject, "precharge", start=30, precharge=26.5)
    answers = dict.fromkeys(reading.findings, ("no", "yes"))
    found = likelihoods(reading, chances, answers)
    none = math.prod(each[0] for each in found.values())
    for finding in reading.findings:
        others = math.prod(found[f][0] for f in reading.findings if f != finding)
        assert found[finding][1] * others / none == pytest.approx(
            chances[finding] / chances["none"]
        )


def test_a_family_is_evidence_on_each_of_its_findings(subject):
    taken = Taken("precharge", {"start": 30.0, "precharge": 10.0})
    observed = observe(subject, Evidence((Round((), (taken,)),)))
    low, high = (subject.findings[f] for f in ("precharge-low", "precharge-high"))
    assert observed.findings[low, 0][0] < 1e-9
    assert observed.findings[low, 0][1] == 1.0
    assert observed.findings[high, 0][1] < 1e-9


def test_the_size_of_a_leak_is_told_beside_the_fall(subject):
    hold = subject.knowledge.readings["hold"]
    bare = {"start": 50.0, "end": 45.0, "minutes": 10.0}
    told = figures(hold, subject.system, bare, {})
    assert [(title, tuple(span), unit) for title, span, unit in told] == [
        ("a fall of", (5.0, 5.0), "psi")
    ]
    _, (_, leak, unit) = figures(hold, subject.system, {**bare, "tank": 20, "precharge": 28}, {})
    assert (leak.known, unit) == (True, "gpm")
    assert leak.low == pytest.approx(0.111, abs=0.001)
    _, (_, leak, _) = figures(hold, subject.system, {**bare, "tank": 20}, {})
    assert leak.high > 50 * leak.low


UNFIT = [
    ("hold", {"start": 50, "end": 44}, "also needs minutes"),
    ("hold", {"start": 500, "end": 44, "minutes": 15}, "between 0 and 150 psi"),
    ("hold", {"start": math.nan, "end": 44, "minutes": 15}, "cannot be"),
    ("hold", {"start": 50, "end": 44, "minutes": 1}, "at least 10 min"),
    ("leak", {**TANK, "start": 40, "end": 44, "minutes": 15}, "rose from 40 to 44 psi"),
    ("vacuum", {"vacuum": 0, "lift": 10}, "at least 1 inHg"),
    ("vacuum", {"vacuum": 8}, "also needs lift"),
    (
        "switch-settings",
        {"cut_in": 50, "cut_out": 30, "set_in": 30, "set_out": 50},
        "Give the lower number first",
    ),
    ("start-capacitor", {"measured": 200, "least": 227, "most": 189}, "lesser number"),
    ("drawdown", {"drawdown": 5, "tank": 20, "cut_in": 50, "cut_out": 40}, "does not stop at"),
    ("wire-volts", {"panel": 10, "motor": 5}, "between 50 and 300 V"),
]


@pytest.mark.parametrize(("name", "parts", "reason"), UNFIT)
def test_what_cannot_be_is_refused_with_the_reason(subject, name, parts, reason):
    with pytest.raises(UnfitReadingError, match=reason):
        weighed(subject, name, **parts)
    assert not subject.readable(name, {p.replace("_", "-"): v for p, v in parts.items()})


def test_a_part_that_is_not_taken_says_which_are(subject):
    with pytest.raises(UnknownNameError, match="part of reading hold"):
        read(subject, Taken("hold", {"begin": 50.0}), {})
