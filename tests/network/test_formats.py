"""Network files: read by name whatever the order, written so that others read them, refused well.

Outside checks: the networks in the wheel of pgmpy (from the bnlearn repository) as pgmpy
reads them, files as pgmpy writes them, and small readings of our own that share nothing
with the readers.
"""

import gzip
import os
import re
import time
import xml.etree.ElementTree as ET
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from faultnet.network import read_network, write_network
from faultnet.network.flaw import NetworkFileError
from faultnet.network.formats import NAMES, format_named
from faultnet.network.pgmpy_model import pgmpy_model, tables_of
from faultnet.network.read import SIZE_LIMIT
from faultnet.network.recorder import record_tables
from faultnet.network.tables import Tables, Variable
from faultnet.network.write import written
from tests.inference.networks import random_network
from tests.inference.tables import random_tables

SHIPPED = ["asia", "cancer", "earthquake", "sachs", "survey", "child", "alarm", "insurance"]
SHIPPED += ["hailfinder", "hepar2"]
WITH_NAMES = [form for form in NAMES if form != "uai"]


def chances_by_name(tables):
    """{(variable, state, {parent: state})} to P, whatever stands where."""
    states = {v.id: v.states for v in tables.variables}
    found = {}
    for v in tables.variables:
        for case in product(*(range(len(states[p])) for p in v.parents)):
            given = frozenset((p, states[p][k]) for p, k in zip(v.parents, case, strict=True))
            for k, state in enumerate(v.states):
                found[v.id, state, given] = v.chances[(*case, k)]
    return found


def same(got, wanted, close=1e-15):
    got, wanted = chances_by_name(got), chances_by_name(wanted)
    assert got.keys() == wanted.keys()
    for key, chance in got.items():
        assert chance == pytest.approx(wanted[key], rel=1e-12, abs=close), key


def file_of(tmp_path, text, suffix=".bif"):
    path = tmp_path / f"network{suffix}"
    path.write_text(text, encoding="utf-8")
    return path


def shipped_text(name):
    import pgmpy.utils

    folder = Path(pgmpy.utils.__file__).parent / "example_models"
    return gzip.decompress((folder / f"{name}.bif.gz").read_bytes()).decode()


def as_pgmpy_reads(text):
    from pgmpy.readwrite import BIFReader

    return tables_of(BIFReader(string=text).get_model())


@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_networks_are_read_as_pgmpy_reads_them(name, tmp_path):
    text = shipped_text(name)
    same(read_network(file_of(tmp_path, text)), as_pgmpy_reads(text))


@pytest.mark.parametrize("form", WITH_NAMES)
@pytest.mark.parametrize("name", ["asia", "cancer", "sachs"])
def test_what_pgmpy_writes_is_read(name, form, tmp_path):
    from pgmpy.readwrite import BIFWriter, NETWriter, XMLBIFWriter

    tables = as_pgmpy_reads(shipped_text(name))
    writer = {"bif": BIFWriter, "net": NETWriter, "xmlbif": XMLBIFWriter}[form]
    got = read_network(file_of(tmp_path, str(writer(pgmpy_model(tables)))), form)
    # pgmpy rounds NET to 8 digits; its XMLBIF makes `<7.5` and `>=7.5` the same state, so
    # only networks with plain states are asked of it here.
    same(got, tables, close=2e-8 if form == "net" else 1e-15)


@pytest.mark.parametrize("form", WITH_NAMES)
@pytest.mark.parametrize("name", ["asia", "alarm"])
def test_what_is_written_is_read_by_pgmpy(name, form):
    from pgmpy.readwrite import BIFReader, NETReader, XMLBIFReader

    tables = as_pgmpy_reads(shipped_text(name))
    reader = {"bif": BIFReader, "net": NETReader, "xmlbif": XMLBIFReader}[form]
    same(tables_of(reader(string=written(tables, form)).get_model()), tables)


@pytest.mark.parametrize("form", NAMES)
@pytest.mark.parametrize("seed", range(8))
def test_what_is_written_is_read_again(seed, form, tmp_path):
    tables = random_tables(seed, variables=7)
    if seed % 2:
        tables = record_tables(random_network(seed))
    path = tmp_path / f"network.{form}"
    write_network(tables, path)
    got = read_network(path)
    if form == "uai":
        tables = numbered(tables)
    same(got, tables)
    assert got.id == (tables.id if form != "uai" else "network")


def numbered(tables):
    """The network with all names lost, as UAI has it."""
    at = {v.id: f"var_{k}" for k, v in enumerate(tables.variables)}
    return Tables(
        tables.id,
        tuple(
            Variable(
                at[v.id],
                tuple(map(str, range(len(v.states)))),
                tuple(at[p] for p in v.parents),
                v.chances,
            )
            for v in tables.variables
        ),
    )


ODD = ["cause.of-itself", "cause-of.itself", "two words", "<5 & more>", "1st", "a,b", "a|b", "{x}"]
ODD += ["(y)", "größer", "node", "table", "a//b", "a%b", "=", ";"]


@pytest.mark.parametrize("form", WITH_NAMES)
def test_odd_names_come_back(form, tmp_path):
    states = ("1", *ODD)
    first = np.full(len(states), 1 / len(states))
    made = [Variable("root", states, (), first)]
    rng = np.random.default_rng(1)
    for name in ODD:
        chances = rng.dirichlet((1, 1), len(states))
        made.append(Variable(name, ("no", "yes"), ("root",), chances))
    made.append(Variable("last", ("no", "yes"), (ODD[0], ODD[1]), rng.dirichlet((1, 1), (2, 2))))
    tables = Tables("two words", tuple(made))
    path = tmp_path / f"network.{form}"
    write_network(tables, path)
    same(read_network(path), tables)


@pytest.mark.parametrize("form", WITH_NAMES)
@pytest.mark.parametrize("name", ['a"b', " a", "a\nb", "a\x01b", ""])
def test_names_that_cannot_be_written_are_refused(form, name, tmp_path):
    tables = Tables("t", (Variable(name, ("no", "yes"), (), np.array([0.5, 0.5])),))
    path = tmp_path / f"network.{form}"
    if form == "xmlbif" and name == 'a"b':
        write_network(tables, path)
        same(read_network(path), tables)
        return
    with pytest.raises(NetworkFileError, match="cannot be written"):
        write_network(tables, path)
    assert not list(tmp_path.iterdir())


# Small readings of their own: nothing in them is shared with the readers.


def test_the_xml_says_what_the_tables_say():
    tables = random_tables(5, variables=6)
    root = ET.fromstring(written(tables, "xmlbif"))  # noqa: S314 written a line before
    states = {
        v.findtext("NAME"): [o.text for o in v.findall("OUTCOME")] for v in root.iter("VARIABLE")
    }
    found = {}
    for each in root.iter("DEFINITION"):
        name, parents = each.findtext("FOR"), [g.text for g in each.findall("GIVEN")]
        numbers = iter(map(float, each.findtext("TABLE").split()))
        for case in product(*(states[p] for p in parents)):
            for state in states[name]:
                key = name, state, frozenset(zip(parents, case, strict=True))
                found[key] = next(numbers)
    assert found == chances_by_name(tables)


def test_the_numbers_of_uai_say_what_the_tables_say():
    tables = numbered(random_tables(6, variables=6))
    words = iter(written(tables, "uai").split())
    assert next(words) == "BAYES"
    sizes = [int(next(words)) for _ in range(int(next(words)))]
    families = [
        [int(next(words)) for _ in range(int(next(words)))] for _ in range(int(next(words)))
    ]
    found = {}
    for family in families:
        assert int(next(words)) == np.prod([sizes[v] for v in family])
        for case in product(*(range(sizes[v]) for v in family)):
            *given, own = zip(family, case, strict=True)
            parents = frozenset((f"var_{v}", str(k)) for v, k in given)
            found[f"var_{own[0]}", str(own[1]), parents] = float(next(words))
    assert found == chances_by_name(tables)


def test_rows_of_bif_say_what_the_tables_say():
    tables = random_tables(7, variables=6)
    text = written(tables, "bif")
    states = dict(re.findall(r"variable (\w+) \{\s+type discrete \[ \d \] \{ (.*) \}", text))
    states = {name: told.split(", ") for name, told in states.items()}
    found = {}
    for head, body in re.findall(r"probability \( ([^)]*) \) \{\n(.*?)\n\}", text, re.DOTALL):
        name, *parents = re.findall(r"\w+", head)
        for line in body.splitlines():
            case, numbers = re.fullmatch(r"\s+(?:table|\((.*)\)) (.*);", line).groups()
            given = frozenset(zip(parents, case.split(", ") if case else (), strict=True))
            for state, number in zip(states[name], numbers.split(", "), strict=True):
                found[name, state, given] = float(number)
    assert found == chances_by_name(tables)


# The order of a file means nothing: the same network told in other orders.

RAIN = """network weather { }
variable rain { type discrete [ 2 ] { no, yes }; }
variable wet { type discrete [ 3 ] { no, damp, wet }; }
variable cold { type discrete [ 2 ] { no, yes }; }
probability ( rain ) { table 0.8, 0.2; }
probability ( cold ) { table 0.5, 0.5; }
probability ( wet | rain, cold ) {
  (no, no) 0.9, 0.06, 0.04;
  (no, yes) 0.8, 0.15, 0.05;
  (yes, no) 0.1, 0.2, 0.7;
  (yes, yes) 0.05, 0.25, 0.7;
}
"""
OTHERWISE = [
    RAIN.replace("(no, no) 0.9, 0.06, 0.04;\n", "").replace(
        "  (yes, yes)", "  (no, no) 0.9, 0.06, 0.04;\n  (yes, yes)"
    ),
    RAIN.replace("  (no, no)", "  default").replace("0.9, 0.06, 0.04", "0.9 0.06 0.04"),
    RAIN.replace("wet | rain, cold", "wet rain cold"),
    RAIN.replace("variable wet", '/* " */ variable "wet"').replace("{ no, yes };", "{no yes};"),
    "\n".join(re.findall(r"^\w.*?\}$", RAIN, re.DOTALL | re.MULTILINE)[::-1]) + "\n",
    RAIN.replace("\n", " \r\n // remark\n"),
    re.sub(
        r"\(no, no\).*\}",
        "table 0.9, 0.8, 0.1, 0.05, 0.06, 0.15, 0.2, 0.25, 0.04, 0.05, 0.7, 0.7; }",
        RAIN,
        flags=re.DOTALL,
    ),
    RAIN.replace("wet | rain, cold", "wet | cold, rain")
    .replace("(no, yes)", "(x)")
    .replace("(yes, no)", "(no, yes)")
    .replace("(x)", "(yes, no)"),
]


@pytest.mark.parametrize("text", OTHERWISE)
def test_labels_are_not_taken_by_position(text, tmp_path):
    wanted = read_network(file_of(tmp_path, RAIN))
    same(read_network(file_of(tmp_path, text)), wanted)
    assert (
        chances_by_name(wanted)["wet", "wet", frozenset({("rain", "yes"), ("cold", "no")})] == 0.7
    )


def test_states_in_another_order_keep_their_chances(tmp_path):
    turned = RAIN.replace("{ no, yes }; }\nvariable wet", "{ yes, no }; }\nvariable wet")
    turned = turned.replace("table 0.8, 0.2", "table 0.2, 0.8")
    same(read_network(file_of(tmp_path, turned)), read_network(file_of(tmp_path, RAIN)))


def test_a_worked_example_of_uai(tmp_path):
    """From memory of the page that describes the format, its chain of three as BAYES."""
    text = "BAYES\n3\n2 2 3\n3\n1 0\n2 0 1\n2 1 2\n\n2\n 0.436 0.564\n\n4\n 0.128 0.872\n"
    text += " 0.920 0.080\n\n6\n 0.210 0.333 0.457\n 0.811 0.000 0.189\n"
    found = chances_by_name(read_network(file_of(tmp_path, text, ".uai")))
    assert found["var_1", "0", frozenset({("var_0", "1")})] == pytest.approx(0.920)
    assert found["var_2", "2", frozenset({("var_1", "0")})] == pytest.approx(0.457)


def test_why_pgmpy_does_not_read_uai():
    """It writes the variable itself slowest, against the format; hence a reader of our own."""
    from pgmpy.readwrite import UAIWriter

    tables = numbered(Tables("t", (ROOT, CHILD)))
    rows = [line for line in str(UAIWriter(pgmpy_model(tables))).splitlines() if "." in line]
    assert rows[1].split() == ["0.9", "0.3", "0.1", "0.7"]
    assert written(tables, "uai").split()[-4:] == ["0.9", "0.1", "0.3", "0.7"]


ROOT = Variable("rain", ("no", "yes"), (), np.array([0.8, 0.2]))
CHILD = Variable("wet", ("no", "yes"), ("rain",), np.array([[0.9, 0.1], [0.3, 0.7]]))


NET = """net { name = "weather"; }
node rain { states = ("no" "yes"); label = "Rain; or { not"; position = (10 20); } % a remark
discrete node wet { states = ("no" "damp" "wet"); }
potential (rain) { data = (0.8 0.2); }
potential (wet | rain) { data = ((0.9 0.06 0.04) % "no
 (0.1 0.2 0.7)); }
"""


def test_net_with_remarks_and_attributes(tmp_path):
    tables = read_network(file_of(tmp_path, NET, ".net"))
    assert tables.id == "weather"
    assert chances_by_name(tables)["wet", "wet", frozenset({("rain", "yes")})] == pytest.approx(0.7)


def test_rounded_rows_are_divided_by_their_sum(tmp_path):
    text = RAIN.replace("0.1, 0.2, 0.7", "0.1, 0.2, 0.699")
    row = read_network(file_of(tmp_path, text)).variables[-1].chances[1, 0]
    np.testing.assert_allclose(row, np.array([0.1, 0.2, 0.699]) / 0.999)


# What is wrong is told with its place, its kind and the mend.

UAI = "BAYES\n2\n2 2\n2\n1 0\n2 0 1\n\n2\n0.8 0.2\n\n4\n0.9 0.1\n0.3 0.7\n"
XML = written(Tables("t", (ROOT, CHILD)), "xmlbif")

BAD_BIF = [
    (RAIN.replace("rain ) { table", "rain | cold ) { table"), "size", 5, "needs 4"),
    (
        RAIN.replace("( rain ) { table 0.8, 0.2;", "( rain | wet ) { default 0.8, 0.2;"),
        "cycle",
        5,
        "in a circle",
    ),
    (RAIN.replace("0.1, 0.2, 0.7", "0.1, 0.2, 0.6"), "chances", 10, "sum to one where yes, no"),
    (RAIN.replace("0.1, 0.2, 0.7", "-0.1, 0.4, 0.7"), "chances", 10, "from zero up"),
    (RAIN.replace("0.1, 0.2, 0.7", "nan, 0.2, 0.7"), "chances", 10, "from zero up"),
    (RAIN.replace("0.8, 0.2", "1e999, 0.2"), "chances", 5, "from zero up"),
    (RAIN.replace("no, damp, wet }", "no, damp, damp }"), "twice", 3, "damp is named twice"),
    (RAIN.replace("variable cold", "variable rain"), "twice", 4, "rain stands twice"),
    (RAIN.replace("( cold )", "( rain )"), "twice", 6, "table of rain"),
    (RAIN.replace("( cold ) { table 0.5, 0.5; }", "( cold ) { }"), "size", 6, "0 numbers"),
    (RAIN.replace("probability ( cold ) { table 0.5, 0.5; }", ""), "missing", 4, "no table"),
    (RAIN.replace("| rain, cold", "| rain, snow"), "unknown", 7, "no variable snow"),
    (RAIN.replace("| rain, cold", "| rain, rain"), "twice", 7, "rain is named twice"),
    (RAIN.replace("(yes, no)", "(yes, perhaps)"), "unknown", 10, "no state perhaps"),
    (RAIN.replace("(yes, no)", "(yes)"), "size", 10, "1 states"),
    (RAIN.replace("(yes, no)", "(no, no)"), "twice", 10, "stands twice"),
    (RAIN.replace("  (yes, no) 0.1, 0.2, 0.7;\n", ""), "missing", 7, "1, the first (yes, no)"),
    (RAIN.replace("0.1, 0.2, 0.7", "0.1, 0.2"), "size", 10, "2 numbers"),
    (RAIN.replace("0.1, 0.2, 0.7", "0.1, x, 0.7"), "syntax", 10, "`x` stands where a number"),
    (
        RAIN.replace("[ 2 ] { no, yes }; }\nvariable wet", "[ 3 ] { no, yes }; }\nv"),
        "syntax",
        2,
        "",
    ),
    (RAIN.replace("discrete [ 2 ]", "continuous [ 2 ]"), "syntax", 2, "discrete"),
    (RAIN[: RAIN.index("(yes, no)")], "cut-off", 10, "ends where"),
    (RAIN[: RAIN.index("0.2, 0.7")], "cut-off", 10, "does not end"),
    ("network a { }\n", "nothing", 0, "No variable"),
    ("hello world\n", "syntax", 1, "`network`"),
]
BAD_NET = [
    (NET.replace("(0.8 0.2)", "(0.8 0.3)"), "chances", 4, "sum to one"),
    (NET.replace("discrete node", "utility node"), "syntax", 3, "discrete chance nodes"),
    (NET.replace("data = (0.8 0.2)", "data = normal(0, 1)"), "syntax", 4, "`normal`"),
    (NET.replace("data = (0.8 0.2);", ""), "size", 4, "0 numbers"),
    (NET[:-10], "cut-off", 5, "does not end"),
    (NET.replace('("no" "yes")', "()"), "missing", 2, "no states"),
]
BAD_UAI = [
    (UAI.replace("BAYES", "MARKOV"), "syntax", 1, "`BAYES`"),
    (UAI[:-4], "cut-off", 13, "ends before"),
    (UAI + "7\n", "syntax", 14, "goes on"),
    (UAI.replace("2 0 1", "2 0 5"), "unknown", 6, "no variable var_5"),
    (UAI.replace("2 0 1", "2 1 0"), "twice", 6, "table of var_0"),
    (UAI.replace("2 2\n2", "2 99999999999\n2"), "syntax", 3, "count should"),
    (UAI.replace("0.9", "0.8"), "chances", 6, "sum to one"),
    (UAI.replace("4\n", "3\n"), "syntax", 13, "goes on"),
]
BAD_XML = [
    (XML[:-20], "syntax", 23, "no sound XML"),
    (XML.replace("BIF", "XYZ"), "syntax", 2, "NETWORK within a BIF"),
    (XML.replace("<FOR>wet</FOR>", ""), "syntax", 19, "needs one FOR"),
    (XML.replace("0.9 0.1", "0.9 0.2"), "chances", 19, "sum to one where no"),
    (XML.replace("<BIF", '<!DOCTYPE BIF [<!ENTITY a "b">]><BIF'), "syntax", 2, "entities"),
]
BAD = [("bif", *x) for x in BAD_BIF] + [("net", *x) for x in BAD_NET]
BAD += [("uai", *x) for x in BAD_UAI] + [("xmlbif", *x) for x in BAD_XML]


@pytest.mark.parametrize(("form", "text", "code", "line", "says"), BAD)
def test_what_is_wrong_is_told(form, text, code, line, says, tmp_path):
    path = file_of(tmp_path, text, f".{form}")
    with pytest.raises(NetworkFileError) as refused:
        read_network(path)
    told = [flaw for flaw in refused.value.flaws if (flaw.code, flaw.line) == (code, line)]
    assert told, refused.value.flaws
    assert told[0].file == str(path)
    assert says in told[0].message + told[0].hint


def test_all_that_is_wrong_with_the_tables_is_told_at_once(tmp_path):
    text = RAIN.replace("0.8, 0.2", "0.8, 0.3").replace("0.1, 0.2, 0.7", "0.1, 0.2, 0.6")
    with pytest.raises(NetworkFileError) as refused:
        read_network(file_of(tmp_path, text))
    assert [(flaw.line, flaw.entity) for flaw in refused.value.flaws] == [(5, "rain"), (10, "wet")]


def refused(path, code):
    start = time.monotonic()
    with pytest.raises(NetworkFileError) as error:
        read_network(path)
    assert error.value.flaws[0].code == code
    assert time.monotonic() - start < 5.0


def test_what_is_no_file_of_a_network(tmp_path):
    refused(tmp_path / "none.bif", "unreadable")
    refused(tmp_path / "network.txt", "format")
    refused(tmp_path / "a\0b.bif", "unreadable")
    folder = tmp_path / "folder.bif"
    folder.mkdir()
    refused(folder, "unreadable")
    pipe = tmp_path / "pipe.bif"
    os.mkfifo(pipe)
    refused(pipe, "unreadable")
    for data, code in ((b"", "nothing"), (b" \n", "nothing"), (b"\xff\xfe\x00", "not-text")):
        path = tmp_path / "data.bif"
        path.write_bytes(data)
        refused(path, code)
    path.write_bytes(b"network a { }\0")
    refused(path, "not-text")
    zeros = tmp_path / "zeros.bif"
    with zeros.open("wb") as stream:
        stream.truncate(2**30)
    refused(zeros, "too-large")
    with zeros.open("wb") as stream:
        stream.truncate(SIZE_LIMIT)
    refused(zeros, "not-text")


def test_tables_that_would_be_too_large_are_never_made(tmp_path):
    names = [f"v{k}" for k in range(40)]
    text = "".join(f"variable {n} {{ type discrete [ 2 ] {{ no, yes }}; }}\n" for n in names)
    text += "".join(f"probability ( {n} ) {{ table 0.5, 0.5; }}\n" for n in names[1:])
    text += f"probability ( v0 | {', '.join(names[1:])} ) {{ default 0.5, 0.5; }}\n"
    refused(file_of(tmp_path, text), "too-large")


@pytest.mark.parametrize(
    ("form", "text"), [("bif", RAIN), ("net", NET), ("uai", UAI), ("xmlbif", XML)]
)
def test_cut_off_anywhere_or_spoilt_anywhere(form, text):
    """Either it is a network, or it is told what is wrong."""
    whole = format_named(form).read(text, "file").finished()
    for end in range(0, len(text) - 4, 7):
        with pytest.raises(NetworkFileError):
            format_named(form).read(text[:end], "file").finished()
        for other in ("9", '"', "(", "}", " "):
            try:
                format_named(form).read(text[:end] + other + text[end + 1 :], "file").finished()
            except NetworkFileError:  # what else is raised fails the test
                continue
    assert len(whole.variables) >= 2


@given(st.sampled_from(NAMES), st.text(st.sampled_from(' \n"{}()[]|,;=%#/*<>&a1.-'), max_size=60))
@settings(max_examples=200, deadline=None)
def test_any_text(form, text):
    try:
        format_named(form).read(text, "file").finished()
    except NetworkFileError:  # what else is raised fails the test
        return


@pytest.mark.parametrize(
    "text", ["/*" * 10**6, '"' * 10**6, '"\n' * 10**6, "(" * 10**6, "variable a { " * 10**5]
)
def test_no_text_takes_long(text):
    start = time.monotonic()
    for form in NAMES:
        with pytest.raises(NetworkFileError):
            format_named(form).read(text, "file").finished()
    assert time.monotonic() - start < 10.0
