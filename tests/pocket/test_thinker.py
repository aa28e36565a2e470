"""What thinks may die on a phone: it is started again and asked once more, or that is told."""

import json

import pytest
from playwright.sync_api import expect

from faultnet.pocket.making.written import write
from tests.pocket.files import serving
from tests.pocket.trial import trial
from tests.web.serving import CHROMIUM

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="no chromium")

FRAIL = b"""
const die = () => setTimeout(() => { throw new Error("out of memory"); });
self.onmessage = async ({ data: { id, name } }) => {
  if (name === "for-ever") return;
  if (name === "too-heavy") return die();
  if (name === "heavy" && !(await caches.has("died"))) {
    await caches.open("died");
    return die();
  }
  self.postMessage({ id, answer: JSON.stringify({ name }) });
};
"""
"""In place of what thinks: one question kills it once, one always, one is never answered."""


@pytest.fixture(scope="module")
def page(chromium, tmp_path_factory):
    folder = tmp_path_factory.mktemp("frail")
    write(trial(thinks=True, thinking_js=FRAIL), folder)
    context = chromium.new_context()
    page = context.new_page()
    with serving(folder) as served:
        page.goto(served.address)
        expect(page.locator("#state")).to_contain_text('"kept":true')
        yield page
    context.close()


def ask(page, name):
    expect(page.locator("#answer")).to_contain_text("{")
    page.fill("#ask", name)
    page.fill("#given", "{}")
    page.click("#go")
    return answer(page)


def answer(page):
    expect(page.locator("#answer")).to_contain_text("{")
    return json.loads(page.inner_text("#answer"))


def test_it_is_started_again_and_asked_once_more(page):
    assert ask(page, "heavy") == {"name": "heavy"}


def test_what_kills_it_twice_is_told_and_the_next_question_answered(page):
    told = ask(page, "too-heavy")["told"]
    assert "memory" in told["reason"]
    assert told["mend"]
    assert ask(page, "light") == {"name": "light"}


def test_silence_is_told_and_the_next_question_answered(page):
    page.clock.install()
    page.fill("#ask", "for-ever")
    page.click("#go")
    page.clock.run_for(60_000)
    assert page.inner_text("#answer") == "null"
    page.clock.run_for(70_000)
    told = answer(page)["told"]
    assert "not answered" in told["reason"]
    assert "Try again" in told["mend"]
    assert ask(page, "light") == {"name": "light"}


def test_it_tells_how_far_it_is(page):
    assert json.loads(page.inner_text("#way"))["share"] >= 0
