"""Networks of open formats on the command line: imported, asked about, written."""

import json

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.inference.clique_tree import CliqueTree
from faultnet.inference.lattice import Lattice
from faultnet.network import read_network
from tests.cli.conftest import CISTERN, SMALL
from tests.cli.test_complete import offered
from tests.network.test_formats import RAIN

# Sprinkler: Murphy, A Brief Introduction to Graphical Models and Bayesian Networks, with
# the tables given there; the posteriors are those of tests/outside.
SPRINKLER = """network sprinkler { }
variable cloudy { type discrete [ 2 ] { no, yes }; }
variable sprinkler { type discrete [ 2 ] { off, on }; }
variable rain { type discrete [ 2 ] { no, yes }; }
variable wet { type discrete [ 2 ] { no, yes }; }
probability ( cloudy ) { table 0.5, 0.5; }
probability ( sprinkler | cloudy ) { (no) 0.5, 0.5; (yes) 0.9, 0.1; }
probability ( rain | cloudy ) { (no) 0.8, 0.2; (yes) 0.2, 0.8; }
probability ( wet | sprinkler, rain ) {
  (off, no) 1.0, 0.0; (off, yes) 0.1, 0.9; (on, no) 0.1, 0.9; (on, yes) 0.01, 0.99;
}
"""
BOTH = ("--target", "sprinkler=on", "--target", "rain=yes")


@pytest.fixture
def own_data(tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


@pytest.fixture
def lawn(own_data, tmp_path, faultnet):
    """A network that is kept as ``lawn``."""
    path = tmp_path / "lawn.bif"
    path.write_text(SPRINKLER)
    assert faultnet("import", path).code == 0
    return path


def test_import_tells_what_it_kept_and_where(own_data, lawn, faultnet):
    assert [path.name for path in (own_data / "networks").iterdir()] == ["lawn.xmlbif"]
    ran = faultnet("import", lawn, "--name", "meadow", "--json")
    assert ran.code == 0
    assert (ran.json["system"], ran.json["variables"]) == ("meadow", 4)
    assert ran.json["roots"] == ["cloudy"]
    assert faultnet("systems", "--json").json["imported"] == ["lawn", "meadow"]
    assert "lawn" in faultnet("systems").out
    assert faultnet("where", "--json").json["networks"] == str(own_data / "networks")


def test_an_imported_network_is_ranked(lawn, faultnet):
    ran = faultnet("rank", "lawn", "-f", "wet=yes", *BOTH, "--json")
    assert ran.code == 0
    causes = {c["id"]: c["probability"] for c in ran.json["causes"]}
    assert causes == {
        "rain": pytest.approx(0.707928, abs=5e-7),
        "sprinkler": pytest.approx(0.429764, abs=5e-7),
    }
    assert ran.json["evidence_probability"] == pytest.approx(0.6471)
    assert ran.json["engine"] == "clique tree"
    assert (ran.json["groups"], ran.json["dangers"], ran.json["conflict"]) == ([], [], [])
    # It is wet, so one of them is; both together: .495 * .5 * .2 ... by the tables.
    assert ran.json["none"] == pytest.approx(0.0)
    both = (0.5 * 0.5 * 0.2 + 0.5 * 0.1 * 0.8) * 0.99 / 0.6471
    assert ran.json["more_than_one"] == pytest.approx(both)
    told = faultnet("rank", "lawn", "-f", "wet=yes", *BOTH)
    assert "71 %  rain=yes" in told.out
    assert told.err == ""


def test_what_is_assumed_is_told(lawn, faultnet):
    ran = faultnet("rank", "lawn", "-f", "wet=yes")
    assert ran.code == 0
    assert "1 variables without parents" in ran.err
    assert "Every state but a variable's first is a fault" in ran.err
    ran = faultnet("next", "lawn", "-f", "wet=yes", "--target", "rain")
    assert "Every state but" in ran.err
    assert "the 2 others" in ran.err
    assert "--cost" in ran.err
    ran = faultnet("next", "lawn", "-f", "wet=yes", "--json")
    assert len(ran.json["assumed"]) == 4
    assert ran.err == ""


def test_a_file_is_asked_about_without_importing_it(lawn, faultnet):
    kept = faultnet("rank", "lawn", "-f", "wet=yes", *BOTH, "--json").json
    file = faultnet("rank", lawn, "-f", "wet=yes", *BOTH, "--json").json
    assert file["causes"] == kept["causes"]


def test_next_on_an_imported_network(lawn, faultnet):
    """By hand: look at the rain (.2); then mend what it says, the other if it is not that."""
    asked = ("next", "lawn", "-f", "wet=yes", *BOTH, "--candidate", "cloudy")
    ran = faultnet(*asked, "--cost", "cloudy=0.2", "--cost", "rain=2", "--json")
    assert ran.code == 0
    assert ran.json["unit"] == "cost"
    steps = {(s["kind"], s["id"]): s for s in ran.json["steps"]}
    assert set(steps) == {("check", "cloudy"), ("repair", "rain"), ("repair", "sprinkler")}
    rain, sprinkler = 0.707928, 0.429764
    # Sprinkler first (.43 for 1 before .71 for 2): 1, then 2 unless the rain was not there.
    assert steps["repair", "sprinkler"]["expected_total"] == pytest.approx(1 + 2 * rain, abs=1e-5)
    first = steps["repair", "rain"]["expected_total"]
    assert first == pytest.approx(2 + sprinkler, abs=1e-5)
    assert ran.json["floor"] == pytest.approx(2 * rain + sprinkler, abs=1e-5)
    outcomes = steps["check", "cloudy"]["outcomes"]
    assert [o["answers"] for o in outcomes] == [{"cloudy": "no"}, {"cloudy": "yes"}]
    assert sum(o["probability"] for o in outcomes) == pytest.approx(1.0)
    assert steps["check", "cloudy"]["price"] == 0.2
    assert "Mend sprinkler (costs 1)" in faultnet(*asked).out


def test_impossible_evidence(lawn, faultnet):
    dry = ("-f", "wet=yes", "-f", "sprinkler=off", "-f", "rain=no", "-f", "cloudy=no")
    for command in ("rank", "next"):
        ran = faultnet(command, "lawn", *dry, "--target", "cloudy", "--json")
        assert ran.code == 1
        assert {c["about"] for c in ran.json["conflict"]} == {"wet", "sprinkler", "rain"}
        assert "cannot all be true" in faultnet(command, "lawn", *dry, "--target", "cloudy").out


WRONG = [
    (["-f", "wte=yes"], "no variable `wte`"),
    (["-f", "wet=perhaps"], "no state of wet `perhaps`"),
    (["-f", "wet"], "VARIABLE=STATE"),
    (["-f", "wet=yes", "-f", "wet=no"], "given twice"),
    (["--target", "snow"], "VARIABLE or VARIABLE=STATE"),
    (["--target", "rain=yes", "--target", "rain=no"], "a fault and one that is none"),
    (["--target", "rain=perhaps"], "no state of rain"),
    (["-l", "tank=plain"], "-l is for authored systems"),
    (["-m", "hold.start=5psi"], "-m is for authored systems"),
    (["--mended", "x"], "--mended is for authored systems"),
    (["--by", "caller"], "--by is for authored systems"),
]
WRONG_NEXT = [
    *WRONG,
    (["--candidate", "snow"], "no variable `snow`"),
    (["-f", "wet=yes", "--candidate", "wet"], "known already"),
    (["--cost", "rain"], "VARIABLE=NUMBER"),
    (["--cost", "snow=1"], "no variable `snow`"),
    (["--cost", "rain="], "is no number"),
    (["--cost", "rain=much"], "is no number"),
    (["--cost", "rain=nan"], "is no number"),
    (["--cost", "rain=0"], "is zero"),
    (["--cost", "rain=-1"], "is below zero"),
    (["--cost", "rain=inf"], "is without end"),
    (["--cost", "rain=1e999"], "is without end"),
    (["--cost", "rain=1", "--cost", "rain=2"], "two costs"),
    (["-f", "wet=yes", "--cost", "wet=1"], "neither looked at nor mended"),
    (["--made-safe", "x"], "--made-safe is for authored systems"),
]


@pytest.mark.parametrize(
    ("command", "arguments", "message"),
    [("rank", *wrong) for wrong in WRONG] + [("next", *wrong) for wrong in WRONG_NEXT],
)
def test_wrong_words_about_a_network(command, arguments, message, lawn, faultnet):
    ran = faultnet(command, "lawn", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert message in ran.err
    assert message in faultnet(command, "lawn", *arguments, "--json").json["error"]["message"]


@pytest.mark.parametrize("option", [("--target", "x"), ("--candidate", "x"), ("--cost", "x=1")])
def test_options_for_networks_are_refused_for_systems(option, faultnet):
    ran = faultnet("next", CISTERN, *option)
    assert ran.code == 2
    assert "is for imported networks" in ran.err


@pytest.mark.parametrize("option", [("--seconds", "1"), ("--plan",), ("--thorough",)])
def test_next_on_a_network_looks_one_step_ahead_and_says_so(option, lawn, faultnet):
    ran = faultnet("next", "lawn", "-f", "wet=yes", *option)
    assert ran.code == 2
    assert "one step ahead" in ran.err


def test_a_system_is_never_written_over(lawn, faultnet):
    for name in (CISTERN, CISTERN.upper()):
        ran = faultnet("import", lawn, "--name", name)
        assert ran.code == 2
        assert "is a system of the knowledge" in ran.err
    for name in ("lawn", "LAWN"):
        ran = faultnet("import", lawn, "--name", name)
        assert ran.code == 2
        assert "--replace" in ran.err
    assert faultnet("import", lawn, "--replace").code == 0
    for name in ("../lawn", "a/b", "", ".", "x" * 99, "-x"):
        assert faultnet("import", lawn, f"--name={name}").code == 2


def test_a_bad_file_is_told_as_problems(own_data, tmp_path, faultnet):
    path = tmp_path / "bad.bif"
    path.write_text(SPRINKLER.replace("0.8, 0.2", "0.8, 0.3").replace("0.5, 0.5;", "0.5, 0.6;", 1))
    ran = faultnet("import", path)
    assert (ran.code, ran.out) == (1, "")
    assert f"{path}:6" in ran.err
    assert "error [chances] rain: " in ran.err
    assert "2 errors in the network file." in ran.err
    error = faultnet("import", path, "--json").json["error"]
    assert error["kind"] == "network-file"
    assert [p["line"] for p in error["problems"]] == [6, 8]
    assert {p["code"] for p in error["problems"]} == {"chances"}
    assert not own_data.exists()
    for missing in (tmp_path / "none.bif", tmp_path, tmp_path / "x.txt"):
        ran = faultnet("import", missing)
        assert ran.code == 1
        assert "Traceback" not in ran.err


def test_a_large_file_is_refused_before_it_is_read(tmp_path, faultnet):
    path = tmp_path / "zeros.net"
    with path.open("wb") as stream:
        stream.truncate(2**30)
    ran = faultnet("import", path)
    assert ran.code == 1
    assert "1,073,741,824 bytes" in ran.err


def test_a_network_that_is_too_large_is_refused_with_its_size(own_data, tmp_path, faultnet):
    """A square of 30 by 30, each variable with its left and its upper neighbour as parents."""
    lines = []
    for row in range(30):
        for column in range(30):
            name = f"v{row}x{column}"
            parents = [f"v{row - 1}x{column}"] * (row > 0) + [f"v{row}x{column - 1}"] * (column > 0)
            bar = f" | {', '.join(parents)}" if parents else ""
            lines.append(f"variable {name} {{ type discrete [ 2 ] {{ no, yes }}; }}")
            lines.append(f"probability ( {name}{bar} ) {{ default 0.5, 0.5; }}")
    path = tmp_path / "square.bif"
    path.write_text("\n".join(lines))
    ran = faultnet("rank", path, "-f", "v29x29=yes")
    assert ran.code == 1
    assert "Nothing was computed: an exact answer needs" in ran.err
    assert "say what is known of" in ran.err
    error = faultnet("rank", path, "-f", "v29x29=yes", "--json").json["error"]
    assert error["kind"] == "too-large"
    assert error["leave_out"]
    assert error["cells"] > error["limit"]


@pytest.mark.parametrize("form", ["bif", "xmlbif", "uai", "net"])
def test_a_system_is_written_and_read_back_to_the_same_beliefs(form, tmp_path, faultnet):
    path = tmp_path / f"pump.{form}"
    ran = faultnet("export", "jet-pump", path, "--knowledge", SMALL, "--json")
    assert ran.code == 0
    assert (ran.json["format"], ran.json["evidence"]) == (form, {"trouble": "some"})
    written = [(v["id"], v["states"]) for v in ran.json["variables"]]
    engine = CliqueTree(read_network(path))
    network = make_subject(read_knowledge(SMALL)[0], "jet-pump").network
    lattice = Lattice(network)
    findings = [f for f in network.findings if not f.needs][:2]
    evidence = {f.id: f.answers[-1] for f in findings}
    # UAI has no names: they go by their order, as told.
    name = {v: v if form != "uai" else f"var_{k}" for k, (v, _) in enumerate(written)}
    state = {(v, s): s if form != "uai" else str(k) for v, ss in written for k, s in enumerate(ss)}
    said = {name[v]: state[v, s] for v, s in {**evidence, **ran.json["evidence"]}.items()}
    got = engine.beliefs(said)
    for variable, by_state in lattice.beliefs(evidence).items():
        for each, chance in by_state.items():
            assert got[name[variable]][state[variable, each]] == pytest.approx(chance, abs=1e-9)


def test_a_shipped_system_is_written_and_asked_about(tmp_path, faultnet, own_data):
    path = tmp_path / "pump.net"
    ran = faultnet("export", CISTERN, path)
    assert ran.code == 0
    assert "trouble=some" in ran.err
    assert faultnet("export", CISTERN, path).code == 2
    assert faultnet("export", CISTERN, path, "--replace").code == 0
    tables = read_network(path)
    assert len(tables.variables) > 500


def test_an_imported_network_is_written_in_another_format(lawn, tmp_path, faultnet):
    path = tmp_path / "lawn.txt"
    assert faultnet("export", "lawn", path).code == 1
    assert faultnet("export", "lawn", path, "--format", "net").code == 0
    ran = faultnet("import", path, "--format", "net", "--name", "again", "--json")
    assert ran.json["variables"] == 4
    asked = ("-f", "wet=yes", *BOTH, "--json")
    assert (
        faultnet("rank", "again", *asked).json["causes"]
        == faultnet("rank", "lawn", *asked).json["causes"]
    )
    assert faultnet("export", "lawn", tmp_path / "nowhere" / "x.bif").code == 1


def test_what_can_be_said_of_an_imported_network(lawn, faultnet):
    told = faultnet("systems", "lawn", "--json").json
    assert {"id": "wet", "states": ["no", "yes"], "parents": ["sprinkler", "rain"]} in told[
        "variables"
    ]
    assert "sprinkler: off, on" in faultnet("systems", "lawn").out


def test_offered_in_the_shell(lawn):
    assert "lawn" in offered("faultnet rank ")
    assert offered("faultnet rank lawn -f we") == ["wet=no", "wet=yes"]
    assert offered("faultnet next lawn --target spr") == ["sprinkler=off", "sprinkler=on"]
    assert offered("faultnet next lawn --candidate cl") == ["cloudy"]
    assert offered("faultnet next lawn --cost ra") == ["rain="]


def test_names_with_signs_in_them(own_data, tmp_path, faultnet):
    path = tmp_path / "odd.bif"
    text = (
        RAIN.replace("rain", '"a=b:c"')
        .replace("cold", '"x y"')
        .replace("{ no, yes }", "{ no, =yes }")
    )
    path.write_text(text.replace("yes)", "=yes)").replace("(yes", "(=yes"))
    ran = faultnet("rank", path, "-f", "a=b:c==yes", "--target", "wet", "--target", "x y", "--json")
    assert ran.code == 0, ran.err
    assert ran.json["evidence"]["rounds"][0]["answers"][0]["finding"] == "a=b:c"
    assert json.dumps(ran.json)
