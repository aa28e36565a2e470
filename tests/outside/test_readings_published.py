"""Readings of published figures come out as the answers that the publications give.

Rows marked `reckoned apart` were worked out without the program.
"""

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from tests.advice.measured import weighed


@pytest.fixture(scope="module")
def subject():
    return make_subject(load(shipped_folder()), "jet-pump-cistern")


def answer_of(chances):
    return max(chances, key=chances.__getitem__)


def test_one_psi_on_a_gauge_is_noise(subject):
    """ASME B40.100, grade B on 100 psi: 2 psi either way, so a fall of 1 psi is no evidence."""
    chances = weighed(subject, "hold", start=50, end=49, minutes=15)
    assert chances["yes"] / chances["no"] < 0.05
    assert answer_of(weighed(subject, "hold", start=50, end=45, minutes=15)) == "yes"


@pytest.mark.parametrize(
    ("volts", "plate", "answer"),
    [
        (103.5, 115, None),
        (207, 230, None),
        (100, 115, "yes"),
        (106, 115, "no"),
        (200, 230, "yes"),
        (126.5, 115, "no"),
        (215, 230, "no"),
    ],
)
def test_voltage_window(subject, volts, plate, answer):
    """NEMA MG 1, condensed, 9.9: ten per cent of the plate while running, 103.5 and 207 V."""
    chances = weighed(subject, "running-volts", volts=volts, plate=plate)
    if answer is None:
        assert chances["yes"] == pytest.approx(0.5, abs=1e-6)
    else:
        assert answer_of(chances) == answer
        assert chances[answer] > 0.9


@pytest.mark.parametrize(
    ("megohms", "answer"), [(20, "no"), (10, "no"), (2, "no"), (0.4, "yes"), (0.02, "yes")]
)
def test_insulation_bands(subject, megohms, answer):
    """A maker's sheet, name withheld: 2 and more serves, under 0.5 is worse than suspect."""
    assert weighed(subject, "insulation", megohms=megohms)[answer] > 0.95


@pytest.mark.parametrize("megohms", [0.8, 1.0, 1.3])
def test_suspect_insulation_stays_in_doubt(subject, megohms):
    """The same sheet: 0.5 to 2 is suspect."""
    assert 0.1 < weighed(subject, "insulation", megohms=megohms)["yes"] < 0.9


DRAWDOWNS = [
    (20, 30, 5.91),
    (20, 20, 6.89),
    (20, 40, 5.16),
    (44, 30, 12.99),
    (44, 20, 15.16),
    (86, 30, 25.40),
    (119, 40, 30.70),
]


@pytest.mark.parametrize(("tank", "cut_in", "gallons"), DRAWDOWNS)
def test_drawdown_by_the_chart(subject, tank, cut_in, gallons):
    """Reckoned apart: gallons with the precharge 2 psi under the start. All of it is no fault."""
    settings = {"tank": tank, "cut_in": cut_in, "cut_out": cut_in + 20}
    assert weighed(subject, "drawdown", drawdown=gallons, **settings)["no"] > 0.99
    assert weighed(subject, "drawdown", drawdown=gallons * 0.45, **settings)["yes"] > 0.99
    half = weighed(subject, "drawdown", drawdown=gallons * 0.7, **settings)["yes"]
    assert half == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(("share", "answer"), [(0.171, "yes"), (0.240, "no"), (0.155, "yes")])
def test_drawdown_with_a_wrong_precharge(subject, share, answer):
    """Reckoned apart, 30/50: 10 psi of air gives .171 of the tank, 20 psi .240, 40 psi .155."""
    chances = weighed(subject, "drawdown", drawdown=86 * share, tank=86, cut_in=30, cut_out=50)
    assert answer_of(chances) == answer


def test_drawdown_promised_by_a_published_chart(subject):
    """Trade press: 119 gal at 30/50 rated 36.8 gal, with the precharge at the start pressure."""
    chances = weighed(subject, "drawdown", drawdown=36.8, tank=119, cut_in=30, cut_out=50)
    assert answer_of(chances) == "no"


@pytest.mark.parametrize("lift", [5.65, 11.3, 16.95, 22.6])
def test_vacuum_of_lift(subject, lift):
    """1 inHg holds up 1.13 ft of water (trade press; 1.134 by the steam tables)."""
    sound = lift / 1.13 + 2.5
    assert weighed(subject, "vacuum", vacuum=sound, lift=lift)["none"] > 0.9
    assert weighed(subject, "vacuum", vacuum=sound + 6, lift=lift)["vacuum-high"] > 0.95
    low = weighed(subject, "vacuum", vacuum=max(sound - 6, 1.0), lift=max(lift, 10.0))
    assert low["vacuum-low"] > 0.5
    edge = {"vacuum": sound, "lift": lift, "friction": 1e-9}
    assert weighed(subject, "vacuum", **edge)["vacuum-high"] == pytest.approx(0.5, abs=0.06)


def test_friction_of_a_published_table_is_taken_off(subject):
    """Illinois Administrative Code 77-906: 1 in, 10 gpm, 5.50 ft in 100 ft at C 150.

    At C 140 a 1.136th more (reckoned apart), 6.25 ft, 5.5 inHg.
    """
    pipe = {"bore": 1.049, "length": 100, "flow": 10}
    with_pipe = weighed(subject, "vacuum", vacuum=15.5, lift=11.3, **pipe)
    said = weighed(subject, "vacuum", vacuum=15.5, lift=11.3, friction=6.25)
    assert with_pipe["none"] == pytest.approx(said["none"], abs=0.01)
    assert with_pipe["none"] > 0.95
    assert answer_of(weighed(subject, "vacuum", vacuum=15.5, lift=11.3)) == "vacuum-high"


LEAKS = [(20, 28, 50, 45, 10, 0.111), (44, 28, 50, 40, 30, 0.177)]


@pytest.mark.parametrize(("tank", "precharge", "start", "end", "minutes", "gpm"), LEAKS)
def test_worked_leaks(subject, tank, precharge, start, end, minutes, gpm):
    """Reckoned apart: 20 gal 50 to 45 psi in 10 min .111 gpm, 44 gal 50 to 40 in 30 .177 gpm."""
    assert gpm > 0.03
    known = {"tank": tank, "precharge": precharge}
    chances = weighed(subject, "leak", start=start, end=end, minutes=minutes, **known)
    assert chances["yes"] > 0.99


def test_what_a_two_psi_gauge_just_sees(subject):
    """Reckoned apart: under .028 gpm a 20 gal tank falls less than 2 psi in 15 min."""
    known = {"tank": 20, "precharge": 28}
    chances = weighed(subject, "leak", start=50, end=48, minutes=15, **known)
    assert chances["yes"] == pytest.approx(0.5, abs=0.2)


def test_a_tank_without_air_falls_fast_on_a_weep(subject):
    """Reckoned apart: .01 gpm takes 2 psi off in 3.2 min with 1 gal of air: a weep, no leak.

    A gallon of air at 50 psi comes out of 4.4 gal with no precharge.
    """
    chances = weighed(subject, "leak", start=50, end=48, minutes=3.2, tank=4.4, precharge=0)
    assert chances["no"] > 0.95


@pytest.mark.parametrize(("amps", "answer"), [(4.9, "no"), (9.0, "no"), (16.0, "yes")])
def test_the_plate_decides(subject, amps, answer):
    """A plate of 9.8 A with a service factor of 1.25: 12.25 A (practice, no source)."""
    assert (
        weighed(subject, "running-amps", amps=amps, plate=9.8, service_factor=1.25)[answer] > 0.99
    )


@pytest.mark.parametrize(("microfarads", "answer"), [(25, "no"), (22, "yes"), (24, "no")])
def test_run_capacitor(subject, microfarads, answer):
    """Six per cent either way of what is marked (common practice, no source)."""
    assert answer_of(weighed(subject, "run-capacitor", measured=microfarads, marked=25)) == answer
