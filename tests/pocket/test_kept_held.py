"""What is kept answers however often the browser tidies up its memory."""

from tests.pocket.kept_page import CASE, at, done, events, kept_browser, opened

__all__ = ["at", "kept_browser"]

SOON = """(async () => {
  const late = new Promise((go) => setTimeout(() => go("never answered"), 5000));
  return Promise.race([kept.entries(given), late]);
})()"""


def test_it_answers_after_memory_was_tidied_up(at):
    page = opened(*at)
    done(page, "kept.add(given)", events(1, 3))
    session = page.context.new_cdp_session(page)
    for _ in range(3):
        session.send("HeapProfiler.collectGarbage")
        assert done(page, SOON, CASE) == events(1, 3)
