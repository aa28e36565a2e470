"""The lock: published vectors through the very functions, words that are set, tried, taken away."""

import hashlib

import pytest

from tests.pocket.kept_page import (
    CASE,
    INSECURE,
    OPEN,
    WORDS,
    again,
    at,
    blank,
    done,
    event,
    events,
    ids,
    kept_browser,
    opened,
    refused,
)

__all__ = ["at", "kept_browser"]

ADD = "kept.add(given)"
READ = "kept.entries(given)"
SET = "kept.setWords(given)"
UNLOCK = "kept.unlock(given)"

HEX = """
  const { derived, keyOf, encrypted, decrypted } = await import('./sealing.js');
  const bytes = (hex) => new Uint8Array((hex.match(/../g) ?? []).map((byte) => parseInt(byte, 16)));
  const hex = (all) => [...all].map((byte) => byte.toString(16).padStart(2, '0')).join('');
"""

# RFC 7914, section 11: test vectors for PBKDF2 HMAC-SHA-256, 64 bytes each; written from memory,
# OpenSSL comes to the same below.
PBKDF2 = [
    (
        b"passwd",
        b"salt",
        1,
        (
            "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"
            "49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783"
        ),
    ),
    (
        b"Password",
        b"NaCl",
        80000,
        (
            "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56"
            "a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d"
        ),
    ),
]

P4 = (
    "d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a72"
    "1c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39"
)
K4, A4 = "feffe9928665731c6d6a8f9467308308", "feedfacedeadbeeffeedfacedeadbeefabaddad2"
IV4 = "cafebabefacedbaddecaf888"

# McGrew and Viega, The Galois/Counter Mode of Operation, appendix B: test cases 4, 13, 14, 16;
# key, iv, plain, beside, sealed with its tag. Written from memory; OpenSSL came to the same.
GCM = [
    (
        K4,
        IV4,
        P4,
        A4,
        (
            "42831ec2217774244b7221b784d0d49ce3aa212f2c02a4e035c17e2329aca12e21d514b25466931c7d8f6a5a"
            "ac84aa051ba30b396a0aac973d58e0915bc94fbc3221a5db94fae95ae7121a47"
        ),
    ),
    ("00" * 32, "00" * 12, "", "", "530f8afbc74536b9a963b4f1c4cb738b"),
    (
        "00" * 32,
        "00" * 12,
        "00" * 16,
        "",
        "cea7403d4d606b6e074ec5d3baf39d18d0d1c8a799996bf0265b98b5d48ab919",
    ),
    (
        K4 * 2,
        IV4,
        P4,
        A4,
        (
            "522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b10"
            "56828838c5f61e6393ba7a0abcc9f66276fc6ece0f4e1768cddf8853bb2d551b"
        ),
    ),
]


@pytest.mark.parametrize(("words", "salt", "rounds", "key"), PBKDF2)
def test_the_key_of_words_is_that_of_rfc_7914(at, words, salt, rounds, key):
    page = blank(*at)
    assert hashlib.pbkdf2_hmac("sha256", words, salt, rounds, 64).hex() == key
    work = HEX + "return hex(await derived(bytes(given[0]), bytes(given[1]), given[2], 512));"
    assert done(page, f"(async () => {{{work}}})()", [words.hex(), salt.hex(), rounds]) == key


@pytest.mark.parametrize(("key", "iv", "plain", "beside", "sealed"), GCM)
def test_sealing_is_the_published_galois_counter_mode(at, key, iv, plain, beside, sealed):
    page = blank(*at)
    work = (
        HEX
        + """
      const key = await keyOf(bytes(given[0]));
      const [iv, plain, beside, sealed] = given.slice(1).map(bytes);
      const found = [encrypted(key, iv, plain, beside), decrypted(key, iv, sealed, beside)];
      return (await Promise.all(found)).map(hex);
    """
    )
    found = done(page, f"(async () => {{{work}}})()", [key, iv, plain, beside, sealed])
    assert found == [sealed, plain]


def test_the_rounds_are_those_that_owasp_publishes(at):
    # OWASP, Password Storage Cheat Sheet, PBKDF2: "PBKDF2-HMAC-SHA256: 600,000 iterations".
    page = opened(*at)
    done(page, SET, WORDS)
    lock = done(page, LOCK)
    assert lock["rounds"] == 600_000
    assert (lock["salt"], lock["iv"], lock["data"]) == (16, 12, 32 + 16)


STORED = """(async () => {
  const { homes, openHome, asked } = await import('./homes.js');
  const [home] = await homes();
  const db = await openHome(home);
  const rows = {};
  for (const name of ['entries', 'settings', 'logs', 'state'])
    rows[name] = await asked(db.transaction(name).objectStore(name).getAll());
  db.close();
  return %s;
})()"""

LOCK = (
    STORED
    % """(({ lock }) => ({ ...lock, salt: lock.salt.length, iv: lock.iv.length,
  data: lock.data.length }))(rows.state[0])"""
)
CLEAR = STORED % "JSON.stringify(rows)"
SEALED = STORED % "rows.entries.map(({ body }) => [...body.iv, ...body.data].join())"


def test_words_set_on_a_phone_that_has_records_seal_them_all(at):
    page, tab = opened(*at), opened(*at)
    done(page, ADD, [event(number, text="Weir Lane 1") for number in range(1, 31)])
    done(page, "kept.setSetting('author', 'ann@0123456789ab')")
    done(page, "kept.setSetting('sun', true, { open: true })")
    assert "Weir Lane" in done(page, CLEAR)
    done(page, SET, WORDS)
    clear = done(page, CLEAR)
    assert "Weir Lane" not in clear
    assert "ann@" not in clear
    assert ids(done(page, READ, CASE)) == ids(events(1, 30))
    assert done(page, "kept.setting('author')") == "ann@0123456789ab"
    tab.wait_for_function("kept.locked")
    assert refused(tab, READ, CASE) == "locked"
    assert refused(tab, ADD, [event(31)]) == "locked"
    assert refused(tab, "kept.setting('author')") == "locked"
    assert done(tab, "kept.setting('sun')") is True
    assert done(tab, "kept.logs()")[0]["unsent"] == 30
    done(tab, UNLOCK, f"  {WORDS.replace(' ', '  ')} ")
    done(tab, ADD, [event(31, text="Weir Lane 2")])
    assert done(page, READ, CASE)[-1]["event"]["text"] == "Weir Lane 2"
    assert "Weir Lane" not in done(page, CLEAR)


def test_a_row_in_the_clear_has_what_finds_it_and_no_more(at):
    page = opened(*at)
    done(page, SET, WORDS)
    done(page, ADD, [event(1)])
    done(page, "kept.add(given, { sent: true })", [event(2)])
    rows = STORED % "rows.entries.map((row) => Object.keys(row).sort().join(' '))"
    assert done(page, rows) == ["body id log place unsent", "body id log place"]


def test_a_sealed_body_opens_only_in_its_own_record(at):
    page = opened(*at)
    done(page, SET, WORDS)
    done(page, ADD, events(1, 3))
    swap = """(async () => {
      const { homes, openHome, asked, writing, completed } = await import('./homes.js');
      const db = await openHome((await homes())[0]);
      const transaction = writing(db, 'entries');
      const store = transaction.objectStore('entries');
      const [first, second] = await asked(store.getAll());
      store.put({ ...first, body: second.body });
      await completed(transaction);
      db.close();
    })()"""
    done(page, swap)
    assert ids(done(page, READ, CASE)) == ids(events(2, 3))
    assert ids(done(page, "kept.damaged()")) == ids(events(1, 1))


def test_other_words_write_no_record_anew(at):
    page = opened(*at)
    done(page, SET, WORDS)
    done(page, ADD, events(1, 5))
    before = done(page, SEALED)
    assert refused(page, SET, "another row of words") == "words-needed"
    assert refused(page, "kept.setWords(given, 'not those words')", "another row") == "words-wrong"
    done(page, "kept.setWords(given, 'mill pond weir lane')", "another row of words")
    assert done(page, SEALED) == before
    again(page)
    assert refused(page, UNLOCK, WORDS) == "words-wrong"
    done(page, UNLOCK, "another row of words")
    assert done(page, READ, CASE) == events(1, 5)


def test_words_are_taken_away_and_all_can_be_read(at):
    page = opened(*at)
    done(page, SET, WORDS)
    done(page, ADD, events(1, 5))
    assert refused(page, "kept.setWords(null)") == "words-needed"
    assert refused(page, "kept.setWords(null, 'not those words')") == "words-wrong"
    done(page, "kept.setWords(null, given)", WORDS)
    again(page)
    assert done(page, "[kept.hasWords, kept.locked]") == [False, False]
    assert done(page, READ, CASE) == events(1, 5)


def test_wrong_words_are_to_be_waited_for_longer_and_longer_even_after_a_reload(at):
    page = opened(*at)
    assert refused(page, SET, "seven  ") == "words-short"
    done(page, SET, WORDS)
    page.clock.install()
    again(page)
    for _ in range(3):
        assert refused(page, UNLOCK, "not those words") == "words-wrong"
    again(page)
    waits = []
    for _ in range(4):
        assert refused(page, UNLOCK, WORDS) == "words-wait"
        waits.append(done(page, WAIT))
        page.clock.run_for(1000 * waits[-1] + 500)
        assert refused(page, UNLOCK, "not those words") == "words-wrong"
    for wait, whole in zip(waits, (2, 4, 8, 16), strict=True):
        assert whole / 2 <= wait <= whole  # seconds of a slow machine may have gone by already
    page.clock.run_for(40_000)
    done(page, UNLOCK, WORDS)
    page.clock.run_for(1000)
    done(page, "kept.lock()")
    assert refused(page, UNLOCK, "not those words") == "words-wrong"


WAIT = "kept.unlock('mill pond weir lane').catch(({ given }) => given.seconds)"


def test_it_locks_on_wish_in_all_tabs(at):
    page, tab = opened(*at), opened(*at)
    done(page, ADD, events(1, 2))
    done(page, SET, WORDS)
    tab.wait_for_function("kept.locked")
    done(tab, UNLOCK, WORDS)
    done(page, "kept.lock()")
    tab.wait_for_function("kept.locked")
    assert refused(page, READ, CASE) == refused(tab, READ, CASE) == "locked"


def test_it_locks_after_a_time_away(at):
    page = opened(*at)
    done(page, SET, WORDS)
    done(page, "kept.setSetting('lock-after', 0.02, { open: true })")
    done(page, SIGHT % "true")
    done(page, SIGHT % "false")
    page.wait_for_timeout(100)
    assert not done(page, "kept.locked")
    done(page, SIGHT % "true")
    page.wait_for_function("kept.locked")


SIGHT = """(Object.defineProperty(document, 'hidden', { value: %s, configurable: true }),
  document.dispatchEvent(new Event('visibilitychange')))"""


def test_what_forgotten_words_mean_is_said_before_they_are_set(at):
    page = opened(*at)
    said = done(page, "(await import('./lock.js')).beforeWords()")
    assert "wipe" in said
    assert "lost" in said


def test_over_plain_http_it_keeps_and_offers_no_lock(kept_browser):
    context, port = kept_browser
    page = opened(context, f"http://{INSECURE}:{port}/")
    assert not done(page, "isSecureContext")
    done(page, ADD, events(1, 3))
    assert done(page, "kept.whyNoLock")
    assert refused(page, SET, WORDS) == "no-lock"
    assert done(again(page), READ, CASE) == events(1, 3)
    page.close()


HANG = {
    "before": "navigator.storageBuckets.open = () => new Promise(() => {})",
    "after": "navigator.storageBuckets.delete = () => new Promise(() => {})",
}


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_crash_while_words_are_set_leaves_all_or_nothing(at, when):
    page = opened(*at)
    done(page, ADD, events(1, 9))
    done(page, f"({HANG[when]}, window.going = kept.setWords(given), 1)", WORDS)
    page.wait_for_timeout(1500)
    again(page)
    locked = done(page, "kept.hasWords")
    assert locked == (when == "after")
    assert len(done(page, "navigator.storageBuckets.keys()")) == 1
    if locked:
        done(page, UNLOCK, WORDS)
    assert done(page, READ, CASE) == events(1, 9)
    assert done(page, ADD, events(1, 10)) == {"added": 1}


def test_a_home_that_was_not_filled_whole_counts_for_nothing(at):
    page = opened(*at)
    done(page, ADD, events(1, 9))
    failing = """(IDBObjectStore.prototype.put = ((put) => function (row, ...key) {
      if (row.number === undefined && row.place > 4) throw new Error('the battery is empty');
      return put.call(this, row, ...key);
    })(IDBObjectStore.prototype.put), kept.setWords(given))"""
    assert refused(page, failing, WORDS) == "failed"
    again(page)
    assert not done(page, "kept.hasWords")
    assert done(page, READ, CASE) == events(1, 9)
    assert len(done(page, "navigator.storageBuckets.keys()")) == 1


BROKEN = """
  const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (name, version) {
    if (name !== '%s') return open.call(this, name, version);
    const asked = {};
    asked.error = new DOMException('broken', 'UnknownError');
    setTimeout(() => asked.onerror());
    return asked;
  };"""


def test_a_home_that_a_killed_move_left_broken_stands_in_nobodys_way(at):
    page = opened(*at)
    done(page, ADD, events(1, 9))
    done(page, "navigator.storageBuckets.open('kept-2').then(() => 1)")
    page.close()
    page = opened(*at, BROKEN % "kept-2")
    assert done(page, READ, CASE) == events(1, 9)
    assert done(page, "navigator.storageBuckets.keys()") == ["kept-3"]


def test_a_home_that_does_not_open_is_not_taken_for_an_empty_one(at):
    page = opened(*at)
    done(page, ADD, events(1, 9))
    page.close()
    page = blank(*at, BROKEN % "kept-1")
    assert refused(page, "(await import('./kept.js')).openKept()") == "none"
    page.close()
    assert done(opened(*at), READ, CASE) == events(1, 9)


UNMARK = """(async () => {
  const { openHome, writing, completed } = await import('./homes.js');
  const db = await openHome({ number: 1, bucket: true });
  const transaction = writing(db, 'state');
  transaction.objectStore('state').delete('state');
  await completed(transaction);
  db.close();
})()"""


def test_a_home_whose_state_was_lost_is_never_cleared_away(at):
    page = opened(*at)
    done(page, ADD, events(1, 9))
    done(page, UNMARK)
    page.reload()
    refused(page, "(await import('./kept.js')).openKept()")
    again(page)
    assert done(page, READ, CASE) == events(1, 9)


def test_two_tabs_write_while_words_are_set(at):
    page, tab = opened(*at), opened(*at)
    done(page, ADD, events(1, 50))
    done(
        tab,
        "window.going = Promise.allSettled(given.map((one) => kept.add([one]))), 1",
        events(51, 90),
    )
    done(page, SET, WORDS)
    outcome = done(tab, "window.going")
    kept_there = [
        e for e, o in zip(events(51, 90), outcome, strict=True) if o["status"] == "fulfilled"
    ]
    found = ids(done(page, READ, CASE))
    assert sorted(found) == sorted(set(found))
    assert set(ids(kept_there)) | set(ids(events(1, 50))) == set(found)
    tab.evaluate(OPEN)
    assert done(tab, "kept.locked")
