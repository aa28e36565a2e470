"""What a phone keeps is on its disk, each event once, whatever the browser does."""

import pytest
from playwright.sync_api import sync_playwright

from tests.pocket.kept_page import (
    CASE,
    PAGE,
    again,
    at,
    blank,
    done,
    elsewhere,
    event,
    events,
    ids,
    kept_browser,
    opened,
    phone,
    refused,
    scripts,
    told,
)

ADD = "kept.add(given)"
__all__ = ["at", "kept_browser"]

SCRIPT = "text/javascript"
READ = "kept.entries(given)"
PLAIN = "Object.defineProperty(navigator, 'storageBuckets', { value: undefined });"
"""A browser without storage buckets."""

OPENING = "window.kept = await (await import('./kept.js')).openKept(), 1"


def test_what_was_kept_is_there_when_the_browser_opens_again(tmp_path):
    entries = events(1, 20)
    with scripts() as port, sync_playwright() as playwright:
        address = elsewhere(port)
        with phone(playwright, tmp_path) as context:
            page = opened(context, address)
            done(page, ADD, entries)
            done(page, "kept.setSetting('author', 'ann@0123456789ab')")
            done(page, f"kept.setCursor('{CASE}', 7)")
        with phone(playwright, tmp_path) as context:
            page = opened(context, address)
            assert done(page, READ, CASE) == entries
            assert done(page, "kept.setting('author')") == "ann@0123456789ab"
            (log,) = done(page, "kept.logs()")
    assert (log["kind"], log["cursor"], log["unsent"], log["entries"]) == ("case", 7, 20, 20)


def test_an_event_is_kept_once(at):
    page = opened(*at)
    assert done(page, ADD, events(1, 3)) == {"added": 3}
    turned = dict(reversed(event(3).items()))
    assert done(page, ADD, [turned, event(4), event(4)]) == {"added": 1}
    assert done(page, READ, CASE) == events(1, 4)


def test_other_content_under_one_id_is_refused_and_nothing_of_it_kept(at):
    page = opened(*at)
    done(page, ADD, events(1, 3))
    assert refused(page, ADD, [event(4), event(2, text="other")]) == "doubled"
    assert refused(page, ADD, [event(5), event(5, text="other")]) == "doubled"
    assert refused(page, ADD, [event(6), {"log": CASE}]) == "shape"
    assert done(page, READ, CASE) == events(1, 3)


def test_it_resolves_when_a_strict_transaction_is_complete(at):
    page = opened(*at)
    seen = done(
        page,
        """(async () => {
          const seen = [];
          const begin = IDBDatabase.prototype.transaction;
          IDBDatabase.prototype.transaction = function (stores, mode, how) {
            const made = begin.call(this, stores, mode, how);
            if (mode === 'readwrite') {
              seen.push(made.durability);
              made.addEventListener('complete', () => seen.push('complete'));
            }
            return made;
          };
          await kept.add(given);
          return [...seen, 'resolved'];
        })()""",
        events(1, 2),
    )
    assert seen == ["strict", "complete", "resolved"]


def test_two_tabs_write_at_once_and_nothing_is_lost_or_doubled(at):
    first, second = opened(*at), opened(*at)
    mine, yours = events(1, 60), events(40, 100)
    start = "window.going = Promise.all(given.map((entry) => kept.add([entry]))), 1"
    done(first, start, mine)
    done(second, start, yours)
    done(first, "window.going")
    done(second, "window.going")
    found = done(first, READ, CASE)
    assert sorted(ids(found)) == ids(events(1, 100))
    second.wait_for_function("heard.some(({ what }) => what === 'entries')")
    assert done(second, READ, CASE) == found


def test_what_the_office_has_is_not_unsent(at):
    page = opened(*at)
    done(page, ADD, events(1, 4))
    done(page, "kept.add(given, { sent: true })", [event(2), event(5)])
    done(page, "kept.markSent(given)", [event(4)["id"], "never-seen"])
    assert done(page, "kept.unsent()") == [event(1), event(3)]
    done(page, ADD, [event(2)])  # again, from here: the office has it all the same
    assert done(page, "kept.logs()")[0]["unsent"] == 2


def test_only_what_was_sent_may_be_cleared_away(at):
    page = opened(*at)
    old, over, unsent, site = "20260301-0700-aaaaa", CASE, "20260304-0800-bbbbb", "site-h3k9mp"
    for number, log in enumerate((old, over, unsent, site), start=1):
        done(page, "kept.add([given], { sent: true })", event(number, log))
    done(page, "kept.add([given])", event(9, unsent))
    assert done(page, "kept.clearable({ over: given })", [over, unsent]) == [
        {"id": over, "why": "over"}
    ]
    tomorrow = "kept.clearable({ now: Date.now() + 86400001 })"
    assert {each["id"] for each in done(page, tomorrow)} == {old, over, site}
    assert refused(page, "kept.forget(given)", unsent) == "unsent"
    done(page, "kept.forget(given)", [old, over])
    assert {log["id"] for log in done(page, "kept.logs()")} == {unsent, site}
    done(page, "kept.forget(given, { unsent: true })", unsent)
    assert done(page, "kept.clearable()") == [{"id": site, "why": "old"}]
    assert done(page, READ, unsent) == []


def test_a_full_disk_is_told_and_what_was_kept_stays(at):
    context, address = at
    page = blank(context, address)
    quota = context.new_cdp_session(page)
    origin = address.rstrip("/")
    quota.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 100_000})
    done(page, OPENING)
    done(page, ADD, [event(1)])
    big = event(2, text="x" * 2_000_000)
    assert refused(page, ADD, [big, event(3)]) == "full"
    assert done(page, READ, CASE) == [event(1)]
    quota.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    assert done(page, ADD, [big]) == {"added": 1}


@pytest.mark.parametrize(
    "script",
    [
        "Object.defineProperty(window, 'indexedDB', { value: undefined })",
        """Object.defineProperty(navigator, 'storageBuckets', { value: undefined });
        IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };""",
        """IDBFactory.prototype.open = function () {
          const asked = {};
          setTimeout(() => {
            asked.error = new DOMException('not in a private window', 'InvalidStateError');
            asked.onerror();
          });
          return asked;
        };""",
    ],
)
def test_a_browser_that_keeps_nothing_is_told_before_the_first_answer(at, script):
    page = blank(*at, script)
    assert refused(page, "(await import('./kept.js')).openKept()") == "none"


def test_what_the_browser_deleted_is_told_and_can_be_kept_again(at):
    context, address = at
    page = opened(context, address, PLAIN)
    done(page, ADD, events(1, 3))
    context.new_cdp_session(page).send(
        "Storage.clearDataForOrigin", {"origin": address.rstrip("/"), "storageTypes": "all"}
    )
    assert refused(page, ADD, [event(4)]) == "deleted"
    assert done(page, READ, CASE) == []
    assert done(page, ADD, events(1, 4)) == {"added": 4}


def test_a_database_that_another_script_deletes_is_told(at):
    page = opened(*at)
    done(page, ADD, events(1, 3))
    done(page, "(await import('./homes.js')).deleteHome({ number: 1, bucket: true })")
    page.wait_for_function("heard.some(({ what, told }) => what === 'lost' && told.reason)")
    assert refused(page, ADD, [event(4)]) == "deleted"
    assert done(page, ADD, events(1, 4)) == {"added": 4}


def test_what_was_deleted_while_the_page_was_closed_is_told_when_it_opens(at):
    page = opened(*at)
    done(page, ADD, events(1, 3))
    page.close()
    page = blank(*at)
    done(page, "navigator.storageBuckets.delete('kept-1')")
    page.reload()
    assert refused(page, OPENING) == "evicted"
    page.reload()
    assert done(page, OPENING) == 1
    assert done(page, ADD, [event(4)]) == {"added": 1}


def test_a_connection_that_was_closed_is_opened_again(at):
    page = opened(*at)
    done(page, ADD, [event(1)])
    closing = """(async () => {
      const begin = IDBDatabase.prototype.transaction;
      IDBDatabase.prototype.transaction = function (...given) {
        IDBDatabase.prototype.transaction = begin;
        this.close();
        return begin.apply(this, given);
      };
      return kept.add(given);
    })()"""
    assert done(page, closing, [event(2)]) == {"added": 1}
    assert done(page, READ, CASE) == events(1, 2)


DAMAGE = """(async () => {
  const { openHome, writing, completed, asked } = await import('./homes.js');
  const db = await openHome({ number: 1, bucket: true });
  const transaction = writing(db, 'entries');
  const store = transaction.objectStore('entries');
  const [first, second, third] = await asked(store.getAll());
  store.put({ ...first, body: { text: first.body.text.slice(0, 40) } });
  store.put({ ...second, body: third.body });
  const { body, ...bare } = third;
  store.put(bare);
  await completed(transaction);
  db.close();
})()"""


def test_damaged_records_are_left_aside_told_and_never_dropped(at):
    page = opened(*at)
    done(page, ADD, events(1, 5))
    done(page, DAMAGE)
    assert done(page, READ, CASE) == events(4, 5)
    assert ids(done(page, "kept.unsent()")) == ids(events(4, 5))
    assert sorted(ids(done(page, "kept.damaged()"))) == ids(events(1, 3))
    assert all(each["reason"] for each in done(page, "kept.damaged()"))
    page.wait_for_function("heard.filter(({ what }) => what === 'damaged').length === 3")
    assert done(page, "kept.logs()")[0]["unsent"] == 5
    assert done(page, "kept.clearable({ over: given })", [CASE]) == []
    done(page, "kept.setWords('mill pond weir lane')")
    assert sorted(ids(done(page, "kept.damaged()"))) == ids(events(1, 3))


def test_a_database_of_an_older_page_is_brought_up_to_date(at):
    context, address = at
    old = opened(context, address)
    done(old, ADD, events(1, 3))

    text = (PAGE / "homes.js").read_text()
    end = "\n];\n"
    assert end in text
    body = text.replace(end, f"\n  (db) => {{ db.createObjectStore('later'); }},{end}", 1)
    page = context.new_page()
    page.route("**/homes.js", lambda route: route.fulfill(body=body, content_type=SCRIPT))
    page.goto(address)
    done(page, OPENING)
    assert done(page, READ, CASE) == events(1, 3)
    assert done(page, ADD, [event(4)]) == {"added": 1}
    assert refused(old, ADD, [event(5)]) == "newer"


def test_a_browser_without_buckets_keeps_as_well_and_finds_it_when_it_has_them(at):
    context, address = at
    page = opened(context, address, PLAIN)
    done(page, ADD, events(1, 3))
    done(page, "kept.setWords('mill pond weir lane')")
    assert done(page, READ, CASE) == events(1, 3)
    page.close()
    page = opened(context, address)
    assert done(page, "[kept.locked, await navigator.storageBuckets.keys()]") == [True, []]
    done(page, "kept.unlock('mill pond weir lane')")
    assert done(page, ADD, [event(4)]) == {"added": 1}
    assert done(again(page), "kept.wipe()") == {"files": False}


def test_a_browser_without_channel_and_locks_keeps_as_well(at):
    gone = ("BroadcastChannel", "window"), ("locks", "navigator"), ("storage", "navigator")
    script = ";".join(
        f"Object.defineProperty({where}, '{name}', {{ value: undefined }})" for name, where in gone
    )
    page = opened(*at, script)
    done(page, ADD, events(1, 3))
    assert done(again(page), READ, CASE) == events(1, 3)
    assert refused(page, "kept.setWords('mill pond weir lane')") == "no-lock"
    assert done(page, "kept.wipe()") == {"files": True}
    assert told(page, READ, CASE) == {"done": []}


def test_it_answers_after_what_nobody_holds_was_collected(at):
    page = opened(*at)
    done(page, ADD, events(1, 3))
    done(page, "(async () => (await (await import('./kept.js')).openKept()).close())()")
    page.context.new_cdp_session(page).send("HeapProfiler.collectGarbage")
    late = "new Promise((_, late) => setTimeout(() => late(new Error('no answer')), 10000))"
    assert done(page, f"Promise.race([{READ}, {late}])", CASE) == events(1, 3)
