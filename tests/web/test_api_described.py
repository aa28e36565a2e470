"""The document of the API: it is OpenAPI 3.1, fresh, and what it says is what comes."""

import json

import msgspec
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from openapi_spec_validator import OpenAPIV31SpecValidator
from schemathesis import GenerationMode, openapi
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi import checks

from faultnet.web.api.document import document
from faultnet.web.api.table import CALLS
from tests.docs.pages import ROOT
from tests.web.conftest import HOME, served

CHECKS = (
    not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_schema_conformance,
    checks.negative_data_rejection,
    checks.unsupported_method,
)
"""All that holds for any request. Valid data may still name what the knowledge does not hold."""


@pytest.fixture(scope="module")
def described(tmp_path_factory):
    app = served(tmp_path_factory.mktemp("described"))
    return openapi.from_asgi("/api/v1/openapi.json", app, headers={"host": "localhost"})


@pytest.mark.parametrize(
    ("call", "mode"),
    [
        (call, mode)
        for call in CALLS
        for mode in GenerationMode
        if mode.is_positive or msgspec.structs.fields(call.asks)[1:]
    ],
    ids=lambda each: getattr(each, "name", each),
)
def test_any_request_is_answered_as_the_document_says(described, call, mode):
    requests = described[call.path][call.method].as_strategy(generation_mode=mode)

    @settings(
        max_examples=15,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(request=requests)
    def answered(request):
        request.call_and_validate(base_url=f"{HOME}/api/v1", checks=CHECKS)

    answered()


def test_it_is_openapi():
    OpenAPIV31SpecValidator(json.loads(document())).validate()


def test_the_document_that_lies_in_docs_is_fresh():
    kept = (ROOT / "docs" / "openapi.json").read_bytes()
    assert kept == document(), "write it anew as DEVELOPERS.md says"
