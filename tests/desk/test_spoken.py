"""Times as they are said."""

import pytest

from faultnet.desk.spoken import hours_said, span_said, time_said


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (2, "a few minutes"),
        (14, "a quarter of an hour"),
        (31, "half an hour"),
        (50, "three quarters of an hour"),
        (55, "an hour"),
        (85, "an hour and a half"),
        (130, "two hours"),
        (150, "two and a half hours"),
        (5000, "more than ten hours"),
    ],
)
def test_minutes_are_said_as_people_say_them(minutes, said):
    assert time_said(minutes) == said


def test_every_minute_can_be_said_and_longer_is_never_said_shorter():
    said = list(dict.fromkeys(time_said(float(m)) for m in range(1000)))
    assert len(said) == 4 + 2 + 2 * 9 + 1, "quarters, one hour, two to ten with halves, more"
    assert said[:4] == [time_said(m) for m in (1, 15, 30, 45)]


def test_a_span_is_about_the_one_and_could_be_the_other():
    assert span_said(90, 180) == "about an hour and a half, could be three"
    assert span_said(25, 130) == "about half an hour, could be two"
    assert span_said(15, 35) == "about a quarter of an hour, could be half an hour"
    assert span_said(60, 62) == "about an hour"


def test_days_are_said_from_a_day_on():
    assert hours_said(4) == "four hours"
    assert hours_said(24) == "a day"
    assert hours_said(72) == "three days"
