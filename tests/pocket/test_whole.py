"""The whole page on a phone without signal: from the first answer to the closed case, and back."""

import pytest
from playwright.sync_api import expect

from faultnet.advice.subject import make_subject
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
from faultnet.pocket.making.pocket import pocket
from faultnet.pocket.making.written import write
from faultnet.web.app import application
from faultnet.web.settings import Settings
from tests.pocket.desk import PHONE
from tests.pocket.files import serving
from tests.pocket.whole import Whole
from tests.visit.conftest import SMALL
from tests.web.serving import CHROMIUM, running

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")
PUMP = "small-pump"


@pytest.fixture
def context(chromium):
    context = chromium.new_context(viewport=PHONE, has_touch=True, reduced_motion="reduce")
    yield context
    context.close()


@pytest.fixture
def cellar(made, given, small, tmp_path):
    """A folder with a pocket of the small knowledge; ``made`` sees to it that it can be made."""
    write(pocket(small, given), tmp_path / "cellar")
    return tmp_path / "cellar"


def first_round(phone):
    """No water; the first repair does not mend it."""
    phone.press("n", "1", "s").pick("No water").press("y", "", "")
    phone.press("y", "?", "y")
    assert phone.title == "Restore the power"
    phone.press("s").pick("looked at it: it was not that")


def second_round(phone):
    """A test by gauge and clock, the second repair, its proof."""
    phone.press("h", "1", "w", "", "m").read("50")
    phone.press("t", "", "m").read("42", "16").press("")
    phone.press("", "d", "d", "y", "d", "n", "y")


def test_two_rounds_in_a_cellar_from_the_first_answer_to_the_closed_case(context, cellar, small):
    with serving(cellar) as served:
        phone = Whole(context.new_page(), served.address, make_subject(small, PUMP)).ready()
        context.set_offline(True)
        served.hang()
        phone.tap("New case").tap("Small pump")
        first_round(phone)
        context.set_offline(False)  # a network that takes what is asked, and never answers
        phone.again()
        context.set_offline(True)
        second_round(phone)
        phone.press("", "d")
        phone.looked_at()
    case = phone.folded()
    assert case.ended == "mended"
    repairs = [each.repairs for each in case.evidence.rounds]
    assert repairs == [("restore-power",), ("renew-valve",), ()]
    assert (case.unfit, case.missing, case.conflicts) == (0, 0, ())
    ids = [entry["id"] for entry in phone.entries()]
    assert len(set(ids)) == len(ids)
    assert phone.told_same > 30


def test_a_case_of_the_day_goes_along_is_worked_on_without_signal_and_comes_together(
    context, made, given, small, tmp_path
):
    """``made`` sees to it that the office has what the page is made of."""
    settings = Settings(tmp_path, SMALL, f"sqlite:///{tmp_path / 'cases.db'}", core=given)
    with running(application(settings)) as address:
        office = context.new_page()
        case = called(office, address)
        phone = Whole(context.new_page(), f"{address}/pocket/", make_subject(small, PUMP)).ready()
        phone.tap("Office", exact=True).tap("Take cases along", case, "Take 1 along")
        context.set_offline(True)
        phone.again().tap("last written")
        phone.tap("Read: I am there").press("n")
        kept = phone.entries()
        context.set_offline(False)
        phone.page.go_back()
        phone.tap("Office", exact=True).tap("Compare with the office now")  # or by itself before
        expect(phone.page.get_by_text("Nothing waits to be sent.")).to_be_visible()
        again = phone.tap("Compare with the office now").entries()
        assert phone.told == "The office has everything."
        office.goto(f"{address}/cases/{case}")
        expect(office.get_by_text("None of these dangers")).to_be_visible()
    with Store(place_of(settings.store, tmp_path)) as store:
        log = store.read(case)
    assert {entry.id for entry in log.entries} == {entry["id"] for entry in kept}
    assert len(log.entries) == len(kept) == len(again) > 2


def called(office, address):
    """Return the case that a caller opens at the office."""
    office.goto(f"{address}/new?by=phone")
    office.locator("input[value=caller]").check()
    office.get_by_role("button", name="Small pump").click()
    office.wait_for_url("**/calls/*")
    return office.url.rsplit("/", 1)[-1]
