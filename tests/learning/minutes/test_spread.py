"""The mean of log-normal times: against formulas and integrals that others worked out."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from faultnet.learning.minutes import spread
from faultnet.learning.minutes.spread import Prior, Tally, mean_of, rung_of


def tally(minutes, broken_off=()):
    counts = [{}, {}]
    for count, times in zip(counts, (minutes, broken_off), strict=True):
        for time in times:
            count[rung_of(time)] = count.get(rung_of(time), 0) + 1
    return Tally(*counts)


def log_normal(seed, mean, off, number):
    rng = np.random.default_rng(seed)
    return np.exp(rng.normal(math.log(mean) - off**2 / 2, off, number))


def test_many_times_come_to_the_interval_of_cox():
    # Cox's interval of a log-normal mean as modified by Olsson (2005), J. Stat. Educ. 13(1),
    # from memory: y + s2/2 -+ t sqrt(s2/n + s2^2/(2(n-1))).
    minutes = log_normal(1, 30.0, 0.5, 400)
    logs = np.log(minutes)
    middle, square = logs.mean(), logs.var(ddof=1)
    off = math.sqrt(square / 400 + square**2 / (2 * 399)) * stats.t.ppf(0.95, 399)
    found = mean_of(tally(minutes), Prior(1.0, 0.0), 0.9)
    centre = middle + square / 2
    assert [math.log(v) for v in (found.low, found.value, found.high)] == pytest.approx(
        [centre - off, centre, centre + off], abs=0.01
    )


def density(minutes, broken_off, mean, off, share):
    """The likelihood of times by scipy.stats, a share of them stray."""
    usual, log = stats.norm(mean - off**2 / 2, off), 0.0
    longest = math.log(spread.LONGEST)
    stray = share / (longest - math.log(spread.SHORTEST))
    for at in (rung_of(time) * spread.RUNG for time in minutes):
        log = log + np.log((1 - share) * usual.pdf(at) + stray)
    for at in (rung_of(time) * spread.RUNG for time in broken_off):
        log = log + np.log((1 - share) * usual.sf(at) + stray * (longest - at))
    return np.exp(log)


def test_the_grid_agrees_with_an_integral():
    # Reference: the same density by scipy.stats, by Simpson's rule of scipy on a fine grid.
    minutes, broken_off, authored, cases = (12.0, 20.0, 31.0, 300.0), (25.0,), 15.0, 4.0
    mean = np.linspace(1.0, 6.0, 1001)[:, None]
    off = np.geomspace(spread.SPREADS[0], spread.SPREADS[-1], 151)[None, :]
    weights = stats.norm.pdf(np.log(off), math.log(spread.SPREAD), spread.SPREAD_OFF)
    weights = weights * stats.norm.pdf(mean, math.log(authored), off / math.sqrt(cases))
    weights = weights * sum(
        likely * density(minutes, broken_off, mean, off, share)
        for share, likely in zip(spread.STRAYS, spread.STRAYS_LIKELY, strict=True)
    )
    weights = integrate.simpson(weights, x=np.log(off[0]), axis=1)
    below = integrate.cumulative_simpson(weights, x=mean[:, 0], initial=0.0)
    found = mean_of(tally(minutes, broken_off), Prior(authored, cases), 0.9)
    ends = np.log([found.low, found.value, found.high])
    shares = np.interp(ends, mean[:, 0], below / below[-1])
    assert shares == pytest.approx([0.05, 0.5, 0.95], abs=0.003)


def test_without_times_the_authored_number_stands():
    assert mean_of(Tally(), Prior(20.0, 10.0), 0.9).value == pytest.approx(20.0, rel=1e-3)


def test_the_value_lies_between_the_files_and_the_times():
    times = tally(log_normal(2, 40.0, 0.4, 12))
    alone = mean_of(times, Prior(10.0, 0.0), 0.9).value
    values = [mean_of(times, Prior(10.0, cases), 0.9).value for cases in (2, 10, 50)]
    assert alone > values[0] > values[1] > values[2] > 10.0


def test_a_clock_that_ran_overnight_pulls_nothing_along():
    minutes = list(log_normal(3, 20.0, 0.4, 30))
    without = mean_of(tally(minutes), Prior(20.0, 5.0), 0.9)
    night = mean_of(tally([*minutes, 840.0, 910.0]), Prior(20.0, 5.0), 0.9)
    assert night.value == pytest.approx(without.value, rel=0.03)
    # With clocks that run on, the longest of the others (70 minutes) is doubted as well.
    assert 2.0 < night.stray - without.stray < 3.0
    assert np.mean([*minutes, 840.0, 910.0]) > 3 * night.value


def test_where_clocks_run_on_often_it_is_found_out():
    minutes = list(log_normal(5, 20.0, 0.4, 32))
    nights = np.linspace(500.0, 1000.0, 8).tolist()
    found = mean_of(tally([*minutes, *nights]), Prior(20.0, 5.0), 0.9)
    assert found.stray == pytest.approx(8.0, abs=1.5)
    assert found.value == pytest.approx(20.0, rel=0.15)


def test_a_longer_time_that_is_no_rarity_counts():
    minutes = list(log_normal(3, 20.0, 0.4, 30))
    more = mean_of(tally([*minutes, 60.0, 55.0, 65.0]), Prior(20.0, 5.0), 0.9)
    assert more.value > 1.05 * mean_of(tally(minutes), Prior(20.0, 5.0), 0.9).value


def test_broken_off_times_say_at_least():
    minutes = log_normal(4, 30.0, 0.5, 200)
    cut = 25.0
    done, broken = minutes[minutes <= cut], [cut] * int((minutes > cut).sum())
    told = mean_of(tally(done, broken), Prior(30.0, 1.0), 0.9)
    assert told.low < 30.0 < told.high
    assert mean_of(tally(done), Prior(30.0, 1.0), 0.9).high < 25.0


def test_the_interval_holds_as_often_as_it_says():
    prior = Prior(25.0, 0.0)
    found = [mean_of(tally(log_normal(k, 25.0, 0.6, 15)), prior, 0.8) for k in range(100)]
    held = sum(each.low <= 25.0 <= each.high for each in found)
    # 100 x 0.8 = 80, within three standard deviations of the binomial.
    assert 80 - 3 * 4.0 <= held <= 80 + 3 * 4.0


def test_nothing_at_all_is_refused():
    with pytest.raises(ValueError, match="no times"):
        mean_of(Tally(), Prior(20.0, 0.0), 0.9)
