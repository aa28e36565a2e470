"""The page on the API names every call, field and refusal, and its program runs."""

import json
import re
import subprocess
import sys

import msgspec
import pytest

from faultnet.web.api.advice import AdviceAsked
from faultnet.web.api.cases import CasesAsked, ReportAsked
from faultnet.web.api.problem import KINDS
from faultnet.web.api.table import CALLS
from tests.cli.test_serve import document, started
from tests.docs.pages import ROOT, boxes, text_of

PAGE = ROOT / "docs" / "api.md"
ROW = re.compile(r"^\| `([^`]+)` \| ([^|]*)", re.MULTILINE)


@pytest.fixture
def address(tmp_path):
    """The address of a server on this machine that ends with the test."""
    server = started(tmp_path)
    try:
        yield json.loads(document(server.stdout))["address"]
    finally:
        server.terminate()
        server.communicate(timeout=60)


def test_the_program_runs(address, tmp_path):
    (program,) = boxes(PAGE, "python")
    (tmp_path / "client.py").write_text(program, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "client.py", address],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        timeout=120,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    danger, likeliest, step, *rest = done.stdout.splitlines()
    assert danger.startswith("DANGER ")
    assert re.match(r"\d+% \w", likeliest)
    assert re.fullmatch(r"Next: .* \(\d+ min\)", step)
    assert rest == [
        "3 new, 0 told differently",
        "0 new, 0 told differently",
        "0 from others",
        "The case is still open",
    ]


def test_every_call_field_and_refusal_stands_there():
    told = dict(ROW.findall(text_of(PAGE)))
    calls = {f"{call.method} {call.path}" for call in CALLS}
    fields = {field.encode_name for field in msgspec.structs.fields(AdviceAsked)}
    assert told.keys() == calls | fields | KINDS.keys()
    for name, kind in KINDS.items():
        assert told[name].strip() == str(kind.status)


def test_every_parameter_stands_there():
    for asks in (CasesAsked, ReportAsked):
        for field in msgspec.structs.fields(asks):
            assert f"`{field.encode_name}`" in text_of(PAGE) or field.name == "id"
