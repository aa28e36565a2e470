"""Problems as a SARIF log, held against what the standard requires.

Static Analysis Results Interchange Format (SARIF) Version 2.1.0, OASIS Standard,
27 March 2020 (from memory). Required of each object, with its section:
sarifLog (3.13): version, runs; run (3.14): tool; tool (3.18): driver; toolComponent
(3.19): name; reportingDescriptor (3.49): id; multiformatMessageString (3.12): text;
result (3.27): message; message (3.11): text or id; artifactLocation (3.4): uri or index,
uri relative where it has a uriBaseId; region (3.30): lines and columns from 1;
logicalLocation (3.33): name or fullyQualifiedName; suppression (3.35): kind.
"""

import json
import re
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from faultnet.authoring.acceptance import Sifted, sift
from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from faultnet.authoring.problem import problem
from faultnet.authoring.sarif import as_sarif
from faultnet.model.origin import Origin

LEVELS = {"none", "note", "warning", "error"}


def breaches(log):
    """Return what the log breaks of the standard."""
    told = [] if log.get("version") == "2.1.0" else ["version"]
    told += [] if isinstance(log.get("runs"), list) else ["runs"]
    for run in log.get("runs", []):
        driver = run.get("tool", {}).get("driver", {})
        told += [] if driver.get("name") else ["driver.name"]
        rules = driver.get("rules", [])
        told += [f"rule {rule}" for rule in rules if not _rule_holds(rule)]
        ids = [rule.get("id") for rule in rules]
        told += ["rules stand twice"] if len(set(ids)) < len(ids) else []
        bases = run.get("originalUriBaseIds", {})
        for result in run.get("results", []):
            told += [f"{part} of {result}" for part in _result_breaches(result, ids, bases)]
    return told


def _rule_holds(rule):
    texts = [rule[key] for key in ("shortDescription", "fullDescription", "help") if key in rule]
    level = rule.get("defaultConfiguration", {}).get("level", "warning")
    return bool(rule.get("id")) and all("text" in text for text in texts) and level in LEVELS


def _result_breaches(result, ids, bases):
    message = result.get("message", {})
    if not ("text" in message or "id" in message):
        yield "message"
    if result.get("level", "warning") not in LEVELS:
        yield "level"
    if result.get("ruleId") not in ids:
        yield "ruleId"
    for location in result.get("locations", []):
        yield from _location_breaches(location, bases)
    for suppression in result.get("suppressions", []):
        if suppression.get("kind") not in ("inSource", "external"):
            yield "suppression.kind"


def _location_breaches(location, bases):
    physical = location.get("physicalLocation", {})
    artifact = physical.get("artifactLocation", {})
    address = urlsplit(artifact.get("uri", ""))
    if not ("uri" in artifact or "index" in artifact):
        yield "artifactLocation"
    if address.scheme or address.path.startswith("/") or re.search(r"[ \\]", address.path):
        yield "uri"
    if artifact.get("uriBaseId") not in bases:
        yield "uriBaseId"
    if any(value < 1 for value in physical.get("region", {}).values()):
        yield "region"
    for logical in location.get("logicalLocations", []):
        if not ("name" in logical or "fullyQualifiedName" in logical):
            yield "logicalLocation"


@pytest.fixture
def sifted(folder: Path) -> Sifted:
    part = folder / "parts/suction.yaml"
    title = "    title: Prime again\n"
    accepted = "    accepted: {repair-without-proof: Seen at the next tap.}\n"
    part.write_text(part.read_text().replace(title, title + accepted))
    knowledge, _ = read_knowledge(folder)
    assert knowledge is not None
    examples, _ = read_examples(folder, knowledge)
    return sift(lint(knowledge, examples), knowledge.accepted)


def test_log_holds_what_the_standard_requires(
    folder: Path, sifted: Sifted, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder.parent)
    log = json.loads(json.dumps(as_sarif(sifted, Path("knowledge"))))
    assert breaches(log) == []
    assert log["$schema"].endswith("sarif-schema-2.1.0.json")
    (run,) = log["runs"]
    assert len(run["results"]) == len(sifted.problems) + len(sifted.accepted)


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (lambda log: log.pop("version"), "version"),
        (lambda log: log["runs"][0]["tool"]["driver"].pop("name"), "driver.name"),
        (lambda log: log["runs"][0]["tool"]["driver"]["rules"][0].pop("id"), "rule"),
        (lambda log: log["runs"][0]["results"][0].pop("message"), "message"),
        (lambda log: log["runs"][0]["results"][-1]["suppressions"][0].clear(), "suppression"),
    ],
)
def test_the_check_of_the_standard_sees_what_is_missing(spoil, told, sifted: Sifted) -> None:
    log = as_sarif(sifted, Path("knowledge"))
    spoil(log)
    assert any(each.startswith(told) for each in breaches(log))


def test_places_are_relative_to_where_it_was_started(
    folder: Path, sifted: Sifted, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside = folder.parent / "a site/files"
    inside.parent.mkdir()
    folder.rename(inside)
    for here, given, start in (
        (inside.parent.parent, inside, "a site/files/parts/"),
        (inside.parent, Path("files"), "files/parts/"),
        (inside, Path(), "parts/"),
        (inside / "parts", inside, "knowledge/parts/"),
    ):
        monkeypatch.chdir(here)
        result = as_sarif(sifted, given)["runs"][0]["results"][0]
        uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        assert unquote(uri).startswith(start)
        assert " " not in uri


def test_accepted_is_suppressed_in_the_source(sifted: Sifted) -> None:
    results = as_sarif(sifted, Path("knowledge"))["runs"][0]["results"]
    (suppressed,) = [each for each in results if "suppressions" in each]
    assert suppressed["ruleId"] == "repair-without-proof"
    assert suppressed["suppressions"] == [
        {"kind": "inSource", "justification": "Seen at the next tap."}
    ]


def test_rules_are_explained_by_the_page(sifted: Sifted) -> None:
    rules = as_sarif(sifted, Path("knowledge"))["runs"][0]["tool"]["driver"]["rules"]
    (rule,) = [each for each in rules if each["id"] == "repair-without-proof"]
    assert rule["defaultConfiguration"] == {"level": "warning"}
    assert rule["shortDescription"]["text"].startswith("Nothing says how to see that the repair")
    assert "```yaml" in rule["help"]["markdown"]
    assert "```" not in rule["help"]["text"]


def test_whole_file_and_error() -> None:
    missing = problem("missing-file", Origin("knowledge/words.yaml", 0, 0), "It is missing.")
    log = as_sarif(Sifted((missing,), ()), Path("knowledge"))
    assert breaches(log) == []
    (result,) = log["runs"][0]["results"]
    assert result["level"] == "error"
    (location,) = result["locations"]
    assert set(location["physicalLocation"]) == {"artifactLocation"}
    assert "logicalLocations" not in location


def test_no_problem_is_a_log_with_no_result() -> None:
    log = as_sarif(Sifted((), ()), Path("knowledge"))
    assert breaches(log) == []
    assert log["runs"][0]["results"] == []
