"""Units against published conversion figures."""

import pytest

from faultnet.reckon.units import ALIASES, UNITS, UnfitNumberError, converted, quantity

# Equivalents as tables print them (NIST SP 811, appendix B, and NIST Handbook 44, appendix C),
# from memory; none is the factor that the program holds for the unit.
PUBLISHED = [
    (1.0, "bar", "psi", 14.5038, 1e-4),
    (30.0, "psi", "kPa", 206.843, 1e-3),
    (29.92, "inHg", "psi", 14.695, 1e-3),  # one standard atmosphere, 101.325 kPa
    (29.92, "inHg", "kPa", 101.32, 1e-2),
    (1.0, "kPa", "mbar", 10.0, 1e-9),
    (25.0, "ft", "m", 7.62, 1e-9),
    (1.0, "ft", "in", 12.0, 1e-9),
    (231.0, "in", "m", 5.8674, 1e-9),
    (1000.0, "gal", "L", 3785.41, 1e-2),
    (5.0, "gpm", "L/min", 18.92706, 1e-5),
    (212.0, "degF", "degC", 100.0, 1e-9),
    (-40.0, "degC", "degF", -40.0, 1e-9),
    (0.25, "h", "min", 15.0, 1e-9),
    (90.0, "s", "min", 1.5, 1e-9),
    (2.0, "Mohm", "kohm", 2000.0, 1e-9),
    (1.0, "hp", "kW", 0.7457, 1e-4),
    (1.0, "ft3", "gal", 7.4805, 1e-4),
    (1.0, "gal", "floz", 128.0, 1e-3),
    (1.0, "gal", "cup", 16.0, 1e-3),
    (1.0, "floz", "mL", 29.5735, 1e-4),
    (1.0, "gpm", "gal/day", 1440.0, 1e-9),
    (1.0, "m3/h", "gpm", 4.4029, 1e-4),
    (1.0, "day", "h", 24.0, 1e-9),
    (1.0, "m/s", "ft/s", 3.28084, 1e-5),
]


@pytest.mark.parametrize(("number", "given", "wanted", "result", "within"), PUBLISHED)
def test_published_figures(number, given, wanted, result, within):
    assert converted(number, given, wanted) == pytest.approx(result, abs=within)


@pytest.mark.parametrize("name", UNITS)
def test_there_and_back(name):
    for other, unit in UNITS.items():
        if unit.measures == UNITS[name].measures:
            assert converted(converted(7.5, name, other), other, name) == pytest.approx(7.5)


@pytest.mark.parametrize("text", ["50psi", "50 psi", " 50.0PSI ", "+5e1psi", "50.psi"])
def test_written_ways(text):
    assert quantity(text, "psi") == pytest.approx(50.0)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("50", "no unit"),
        ("", "no number"),
        ("psi", "no number"),
        ("nan psi", "no number"),
        ("infpsi", "no number"),
        ("50,5psi", "point, not a comma"),
        ("1,000psi", "nothing between thousands"),
        ("30/50psi", "no number"),
        ("3/2psi", "no number"),
        ("1/0psi", "no number"),
        ("1/2/4psi", "no number"),
        ("9" * 5000 + "psi", "beyond all measure"),
        ("9" * 5000 + "-1/2psi", "no unit"),
        ("1e999psi", "beyond all measure"),
        ("50min", "measures time"),
        ("50pzi", "one of Pa, kPa, bar"),
        ("50psi 40psi", "no number"),
        ("\u0665\u0660psi", "no number"),
    ],
)
def test_refused(text, reason):
    with pytest.raises(UnfitNumberError, match=reason):
        quantity(text, "psi")


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("1/16in", 0.0625),
        ("1-1/4in", 1.25),
        ('1 1/2"', 1.5),
        ("-1/2in", -0.5),
        ("\u22121/2in", -0.5),
        ("1'", 12.0),
    ],
)
def test_fractions(text, inches):
    assert quantity(text, "in") == pytest.approx(inches)


@pytest.mark.parametrize("name", ALIASES)
def test_other_ways_to_write_a_unit(name):
    assert converted(3.0, name, ALIASES[name]) == pytest.approx(3.0)


def test_other_ways_fold_capitals_too():
    assert quantity("3 Gallons", "gal") == pytest.approx(3.0)
    assert quantity("50f", "degF") == pytest.approx(50.0)
    assert quantity("2Mohm", "ohm") == pytest.approx(2e6)


def test_unit_of_the_knowledge_alone():
    assert quantity("3 turns", "turns") == pytest.approx(3.0)
    with pytest.raises(UnfitNumberError, match="given in turns"):
        quantity("3psi", "turns")


def test_milli_is_not_mega():
    assert quantity("2Mohm", "ohm") == pytest.approx(2e6)
    with pytest.raises(UnfitNumberError, match="no unit"):
        quantity("2mohm", "ohm")
    with pytest.raises(UnfitNumberError, match="no unit"):
        quantity("5MA", "A")
