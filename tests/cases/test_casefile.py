"""A case as one file: out, in elsewhere, the same; what is damaged is refused with its place."""

import json
import os

import pytest

from faultnet.cases import events as e
from faultnet.cases.casefile import (
    LARGEST,
    VERSION,
    CasefileError,
    casefile_from,
    casefile_of,
    read_file,
    text_of,
)
from faultnet.cases.fold import fold
from faultnet.cases.site import site_of
from tests.cases.people import Person, both, together
from tests.docs.pages import ROOT, boxes


@pytest.fixture
def case():
    """Two people on one case, in conflict, with the site it stands at."""
    owner = Person("office")
    owner.opens(e.SiteBegun("small-pump"))
    owner.writes(e.Named("Mill at Orquay", "Orquay 3", "0555 0101"), e.Told("tank", "plain"))
    anna, berta = both(e.Opened("small-pump", site=owner.seen[0].log))
    anna.writes(e.Told("clicks", "yes"), e.Note('"quoted" ünd\nmore'))
    berta.writes(e.Told("clicks", "no"), e.RepairDone("renew-valve"))
    berta.writes(e.Measured("hold", {"start": 50.1, "end": 44.0, "minutes": 15.0}))
    return together(anna, berta), owner.seen


def test_out_and_in_elsewhere_is_the_same(case, store, small):
    entries, site = case
    made = casefile_from(text_of(casefile_of(entries, site)), "case.json")
    assert set(map(repr, store.append(made.entries))) == {repr(e) for e in (*entries, *site)}
    assert store.append(made.entries) == ()
    kept, place = store.read(entries[0].log).entries, store.read(site[0].log).entries
    assert fold(small, kept) == fold(small, entries)
    assert site_of("s", place) == site_of("s", site)
    again = casefile_of(kept, place)
    assert text_of(again) == text_of(casefile_of(entries, site))


def test_without_the_customer_nothing_tells_of_them(case, small):
    text = text_of(casefile_of(*case, without_customer=True))
    for word in (b"Mill", b"Orquay", b"0555", b"quoted", b"site-"):
        assert word not in text
    kept = casefile_from(text, "x").entries
    assert fold(small, kept).evidence == fold(small, case[0]).evidence


def test_it_can_be_read_by_a_person(case):
    lines = text_of(casefile_of(*case)).decode().splitlines()
    assert lines[1] == ' "format": "faultnet-case",'
    assert max(map(len, lines)) < 200


def damaged(case, change):
    """Return the file after a change to its fields, the digest left as it was."""
    fields = json.loads(text_of(casefile_of(*case)))
    change(fields)
    return json.dumps(fields).encode()


def of_event(place, /, **changes):
    return lambda fields: fields["events"][place].update(changes)


HEAD = b'{"format": "faultnet-case", "version": '

DAMAGES = {
    "answer": (lambda f: f["events"][1]["event"].update(answer="no"), "digest"),
    "lost": (lambda f: f["events"].pop(), "digest"),
    "order": (lambda f: f["events"].reverse(), "digest"),
    "empty": (lambda f: f.update(events=[]), "it has no events"),
    "kind": (lambda f: f["events"][1].update(event={"what": "sung"}), "`$.events[1].event"),
    "field": (lambda f: f["events"][2]["event"].update(colour="red"), "`colour`"),
    "more": (lambda f: f.update(colour="red"), "`colour`"),
    "missing": (lambda f: f["events"][2].pop("at"), "`$.events[2]`"),
    "type": (of_event(0, number="one"), "`$.events[0].number`"),
    "time": (of_event(3, at="yesterday"), "`$.events[3]`: `at` is no time"),
    "id": (of_event(3, id="../../etc"), "`$.events[3]`: `id` is no id"),
    "number": (of_event(1, number=0), "does not count from 1"),
    "author": (of_event(1, author="\x1b[31m"), "`author` is no name"),
    "itself": (lambda f: f["events"][1].update(after=[f["events"][1]["id"]]), "names itself"),
    "another": (of_event(4, log="20200101-0000-abcde"), "`$.events[4]`: it belongs to"),
    "twice": (lambda f: f["events"][1].update(id=f["events"][2]["id"]), "has other content"),
    "site": (lambda f: f.update(case=f["site"]), "a site stands where a case should"),
    "misplaced": (
        lambda f: f["site_events"][0].update(event={"what": "paused"}),
        "`paused` is no event of a site",
    ),
}


@pytest.mark.parametrize("what", DAMAGES)
def test_what_is_damaged_is_refused_with_its_place(case, what):
    change, reason = DAMAGES[what]
    with pytest.raises(CasefileError) as raised:
        casefile_from(damaged(case, change), "van/case.json")
    assert str(raised.value).startswith("van/case.json: is damaged")
    assert reason in str(raised.value)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "is no case of faultnet"),
        (b"\x00" * 1000, "is no case of faultnet"),
        (b"\xff\xfe{}", "is no case of faultnet"),
        (b"[1, 2]", "is no case of faultnet"),
        (b"{}", "A case begins with the field `format`"),
        (b'{"format": "shopping", "version": 1}', "is no case of faultnet"),
        (b'{"format": "faultnet-case", "version": "x"}', "`$.version`"),
        (HEAD + b'0, "case": "a", "digest": "", "events": []}', "`version` counts from 1"),
        (b"[" * 200_000, "is no case of faultnet"),
        (HEAD + b'1, "case": ' + b"[" * 99_999, "is no case"),
        (HEAD + b'1, "case": "a"}', "is damaged"),
        (HEAD + b'1, "case": "\\ud800"}', "is "),
    ],
)
def test_what_is_no_case_is_refused(data, reason):
    with pytest.raises(CasefileError, match=r"^x\.json: ") as raised:
        casefile_from(data, "x.json")
    assert reason in str(raised.value)


def test_a_newer_version_is_refused_as_such(case):
    newer = damaged(case, lambda f: f.update(version=VERSION + 1, song=[1]))
    with pytest.raises(CasefileError, match=rf"newer faultnet \(version {VERSION + 1} of the"):
        casefile_from(newer, "x.json")


def test_a_file_from_before_the_closing_sheet_still_opens(case):
    older = damaged(case, lambda f: f.update(version=1))
    assert casefile_from(older, "x").entries == casefile_of(*case).entries


def test_cut_off_anywhere_it_is_refused(case):
    text = text_of(casefile_of(*case))
    for end in range(0, len(text) - 2, 97):
        with pytest.raises(CasefileError):
            casefile_from(text[:end], "x.json")


def test_a_bit_that_fell_over_is_noticed_or_changes_nothing(case):
    text = text_of(casefile_of(*case))
    whole = casefile_from(text, "x").entries
    for place in range(0, len(text), 13):
        other = bytearray(text)
        other[place] ^= 4
        try:
            read = casefile_from(bytes(other), "x")
        except CasefileError:
            continue
        assert read.entries == whole


def test_a_gigabyte_of_zeros_is_refused_without_reading_it(tmp_path):
    path = tmp_path / "zeros.json"
    with path.open("wb") as stream:
        os.truncate(stream.fileno(), 1 << 30)
    with pytest.raises(CasefileError, match=r"zeros.json: is larger than any case \(64 MiB\)"):
        read_file(path)
    assert LARGEST == 64 << 20


@pytest.mark.parametrize(("name", "reason"), [("gone.json", "No such file"), (".", "directory")])
def test_what_cannot_be_read_is_told(tmp_path, name, reason):
    with pytest.raises(CasefileError, match=reason):
        read_file(tmp_path / name)


def test_the_page_tells_the_version_and_every_event():
    told = (ROOT / "docs/cases.md").read_text("utf-8")
    assert f'"version": {VERSION}' in told
    for kind in e.Event.__subclasses__():
        assert f"`{kind.__struct_config__.tag}`" in told, kind
        for field in kind.__struct_fields__:
            assert f"`{field}`" in told, (kind, field)
    for how in e.ENDS:
        assert f"`{how}`" in told


def test_the_example_of_the_page_can_be_read():
    (box,) = boxes(ROOT / "docs/cases.md", "json")
    casefile = casefile_from(box.encode(), "docs/cases.md")
    assert {type(each.event) for each in casefile.events} >= {e.Opened, e.Told, e.Ended}
