"""Units against published conversion figures."""

import pytest

from faultnet.reckon.units import UNITS, UnfitNumberError, converted, quantity

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
