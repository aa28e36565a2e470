"""The page thinks in a real browser: loaded once, then without any network."""

import json

import pytest
from playwright.sync_api import expect

from faultnet.pocket.making.written import write
from faultnet.pocket.talk.answering import Talking
from tests.pocket.desk import PHONE
from tests.pocket.files import serving
from tests.pocket.trial import trial
from tests.web.serving import CHROMIUM

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="no chromium")
PATIENCE = 90_000
AUTHOR = "tom@0123456789ab"


@pytest.fixture(scope="module")
def phone(made, chromium, tmp_path_factory):
    """A phone that opened the page once, and has no signal by now."""
    folder = tmp_path_factory.mktemp("cellar")
    write(trial(made), folder)
    context = chromium.new_context(viewport=PHONE)
    page = context.new_page()
    with serving(folder) as served:
        page.goto(served.address)
        expect(page.locator("#state")).to_contain_text('"kept":true', timeout=PATIENCE)
        context.set_offline(True)
        served.stop()
        page.reload()
        yield page
    context.close()


def ask(page, name, **given):
    """Ask what thinks on the phone."""
    page.fill("#ask", name)
    page.fill("#given", json.dumps(given))
    page.click("#go")
    return answer(page)


def answer(page):
    expect(page.locator("#answer")).to_contain_text("{", timeout=PATIENCE)
    return json.loads(page.inner_text("#answer"))


def test_it_answers_without_signal_as_the_desk_does(phone, shipped):
    about = answer(phone)
    assert about == json.loads(Talking(shipped).answer("about", "{}"))
    begun = ask(phone, "begin", author=AUTHOR, system="jet-pump-cistern")
    shown = ask(phone, "show", author=AUTHOR, entries=begun["entries"])
    given = json.dumps({"author": AUTHOR, "entries": begun["entries"]})
    assert shown == json.loads(Talking(shipped).answer("show", given))


def test_it_ranks_as_the_desk_does(phone, shipped):
    evidence = {
        "answers": [{"finding": "short-cycles-drawing", "answer": "yes", "speaker": "caller"}]
    }
    given = {"system": "jet-pump-cistern", "evidence": evidence}
    here = ask(phone, "rank", **given)
    there = json.loads(Talking(shipped).answer("rank", json.dumps(given)))
    assert "told" not in here, here
    chances = {each["id"]: each["probability"] for each in there["causes"]}
    found = {each["id"]: each["probability"] for each in here["causes"]}
    assert found == pytest.approx(chances, abs=1e-9)


def test_what_it_does_not_understand_is_told_with_its_mend(phone):
    told = ask(phone, "guess")["told"]
    assert set(told) == {"place", "reason", "mend"}
