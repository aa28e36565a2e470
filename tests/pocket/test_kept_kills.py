"""A few kills of the browser in the middle of keeping; bench/pocket_kills.py does a hundred."""

import struct

import pytest
from playwright.sync_api import sync_playwright

from tests.bench.running import ROOT, told_by
from tests.pocket.kept_page import CASE, done, elsewhere, events, opened, phone, scripts


@pytest.mark.parametrize(("mode", "number"), [("plain", 1), ("locked", 1), ("setting", 2)])
def test_what_was_acknowledged_survives_a_kill(mode, number):
    told = told_by("pocket_kills.py", "--kills", str(number), "--mode", mode)
    assert f"kills {number}, " in told
    assert ", acknowledged 0," not in told
    assert "lost 0, doubled 0, spoilt 0" in told


def test_what_is_lost_doubled_or_spoilt_is_seen(monkeypatch):
    monkeypatch.syspath_prepend(ROOT / "bench")
    from pocket_heard import Heard, text_of

    def entry(number, text=None):
        return {"id": f"e-{number}", "event": {"text": text or text_of(f"e-{number}")}}

    heard = Heard(kept={"e-1", "e-2", "e-3"}, begun={"e-1", "e-2", "e-3"}, sent={"e-2"})
    found = [entry(2), entry(2), entry(3, "cut off"), entry(9)]
    told = {"entries": found, "unsent": ["e-2", "e-3"], "damaged": [{}], "hasWords": True}
    heard.take("found", 0, told)
    tally = heard.tally
    assert (tally.lost, tally.doubled, tally.spoilt) == (1, 1, 2)
    assert (tally.unsent_again, tally.damaged, tally.words_wrong) == (1, 1, 1)
    assert tally.bad == 7


def test_half_a_record_at_the_end_of_the_log_loses_nothing(tmp_path):
    """As a kill leaves it: LevelDB's log format, a header (checksum, length, type) and no more.

    Chromium writes on behind it at the next start and throws all away at the one after.
    """
    with scripts() as port, sync_playwright() as playwright:
        address = elsewhere(port)
        for first in (1, 11, 21):
            with phone(playwright, tmp_path) as context:
                page = opened(context, address)
                assert done(page, f"kept.entries('{CASE}')") == events(1, first - 1)
                done(page, "kept.add(given)", events(first, first + 9))
            (log,) = tmp_path.glob("**/indexeddb.leveldb/*.log")
            with log.open("ab") as end:
                end.write(struct.pack("<IHB", 1, 350, 1))
        with phone(playwright, tmp_path) as context:
            page = opened(context, address)
            assert done(page, f"kept.entries('{CASE}')") == events(1, 30)
