"""What is left on the disk: the files of the browser's profile are searched for what was kept."""

import secrets

from playwright.sync_api import sync_playwright

from tests.pocket.kept_page import (
    CASE,
    WORDS,
    at,
    done,
    elsewhere,
    event,
    events,
    ids,
    kept_browser,
    opened,
    phone,
    scripts,
)

__all__ = ["at", "kept_browser"]

ADD = "kept.add(given)"
LARGE = 300_000
"""Letters of a text that the browser keeps in a file by itself."""


def marked(number):
    """Return entries with texts that stand nowhere else, and these texts."""
    marks = [secrets.token_hex(16) for _ in range(number)]
    entries = [event(n, text=f"Weir Lane {mark}") for n, mark in enumerate(marks, start=1)]
    entries[-1]["event"]["text"] += "x" * LARGE
    return entries, marks


def remains(profile, marks):
    """Return how many of these texts stand in the files of a profile, in letters of 1 or 2 bytes.

    The first half of each is looked for: packed files write what they hold for the first time as
    it is, but may cut it.
    """
    forms = [form for mark in marks for form in (mark[:16].encode(), mark[:16].encode("utf-16-le"))]
    files = [path.read_bytes() for path in profile.rglob("*") if path.is_file()]
    return sum(any(form in file for file in files) for form in forms)


def after(profile, *works, given=None):
    """Return what scripts come to, one after the other, on a phone that is closed afterwards."""
    with scripts() as port, sync_playwright() as playwright, phone(playwright, profile) as context:
        page = opened(context, elsewhere(port))
        return [done(page, work, given) for work in works]


def test_what_is_kept_in_the_clear_is_found_and_after_a_wipe_nothing_is(tmp_path):
    entries, marks = marked(40)
    note = f"kept.setSetting('note', '{marks[0]}')"
    after(tmp_path / "kept", ADD, note, given=entries)
    assert remains(tmp_path / "kept", marks) == len(marks)
    *_, wiped, left = after(
        tmp_path / "wiped", ADD, note, "kept.wipe()", "kept.logs()", given=entries
    )
    assert wiped == {"files": True}
    assert left == []
    assert remains(tmp_path / "wiped", marks) == 0


def test_with_the_lock_nothing_ever_stands_on_the_disk_in_the_clear(tmp_path):
    entries, marks = marked(40)
    words, note = f"kept.setWords('{WORDS}')", f"kept.setSetting('note', '{marks[0]}')"
    *_, read = after(tmp_path, words, ADD, note, f"kept.entries('{CASE}')", given=entries)
    assert read == entries
    assert remains(tmp_path, marks) == 0
    assert remains(tmp_path, ids(entries)) > 0  # they are there, sealed: ids find them
    assert remains(tmp_path, [WORDS]) == 0


def test_words_that_are_set_later_leave_nothing_of_before(tmp_path):
    entries, marks = marked(40)
    *_, read = after(
        tmp_path, ADD, f"kept.setWords('{WORDS}')", f"kept.entries('{CASE}')", given=entries
    )
    assert read == entries
    assert remains(tmp_path, marks) == 0


def test_cases_that_are_cleared_away_leave_the_disk_while_others_stay(tmp_path):
    entries, marks = marked(20)
    away, stays = entries[:10], [{**each, "log": "20260304-0800-bbbbb"} for each in entries[10:]]
    clear = f"(kept.markSent(given.map(({{ id }}) => id)).then(() => kept.forget('{CASE}')))"
    after(tmp_path, ADD, clear, given=[*away, *stays])
    assert remains(tmp_path, marks[:10]) == 0
    assert remains(tmp_path, marks[10:]) == 10


def test_a_wipe_reaches_the_other_tabs_and_takes_the_lock_along(at):
    page, tab = opened(*at), opened(*at)
    done(page, ADD, events(1, 3))
    done(page, "kept.setWords(given)", WORDS)
    done(page, "kept.wipe()")
    tab.wait_for_function("heard.some(({ what }) => what === 'wiped')")
    assert done(tab, "[kept.hasWords, await kept.logs()]") == [False, []]
    assert done(tab, ADD, [event(9)]) == {"added": 1}
    assert done(page, f"kept.entries('{CASE}')") == [event(9)]


def test_forgotten_words_are_helped_by_wiping(at):
    page = opened(*at)
    done(page, "kept.setWords(given)", WORDS)
    done(page, ADD, events(1, 3))
    done(page, "kept.lock()")
    done(page, "kept.wipe()")
    assert done(page, "[kept.locked, await kept.logs()]") == [False, []]
    assert done(page, ADD, [event(9)]) == {"added": 1}


def test_the_page_itself_goes_only_where_that_is_asked(at):
    page = opened(*at)
    done(page, "caches.open('edition').then((cache) => cache.put('/x', new Response('page')))")
    done(page, "kept.wipe()")
    assert done(page, "caches.keys()") == ["edition"]
    done(page, "kept.wipe({ page: true })")
    assert done(page, "caches.keys()") == []
