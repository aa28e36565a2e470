"""The document that describes the API (OpenAPI 3.1), made of the table of calls."""

from collections.abc import Iterable, Mapping
from functools import cache
from http import HTTPStatus
from typing import Any

import msgspec

from faultnet.shapes.version import SCHEMA_VERSION
from faultnet.web.api.call import JSON, Call
from faultnet.web.api.problem import KINDS, MEDIA, PREFIX, Problem
from faultnet.web.api.table import CALLS, refusals

Json = dict[str, Any]

_REF = "#/components/schemas/{name}"
VERSIONED = "Versioned"
ABOUT = """Ranks what is probably wrong with a jet pump, prices the next step, and keeps cases.

Fields may be added; they are never renamed without a new `schema_version`. What cannot be
done is told as a problem (RFC 9457) with place, reason and mend."""


@cache
def document() -> bytes:
    """Return the document as it is served and as it lies in docs/openapi.json."""
    bodies = [call.asks for call in CALLS if call.method == "POST"]
    given = [shape for call in CALLS for shape in call.gives.values() if shape is not None]
    types: list[type] = list(dict.fromkeys([*bodies, *given, Problem]))
    references, schemas = msgspec.json.schema_components(types, ref_template=_REF)
    schemas[VERSIONED] = _versioned()
    shapes: dict[type, Json] = dict(zip(types, references, strict=True))
    paths: dict[str, Json] = {}
    for call in CALLS:
        paths.setdefault(call.path, {})[call.method.lower()] = _operation(call, shapes)
    whole = {
        "openapi": "3.1.0",
        "info": {
            "title": "faultnet",
            "version": str(SCHEMA_VERSION),
            "description": ABOUT,
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": PREFIX}],
        "paths": paths,
        "components": {"schemas": dict(sorted(schemas.items()))},
    }
    return msgspec.json.format(msgspec.json.encode(whole), indent=1) + b"\n"


def _operation(call: Call, shapes: Mapping[type, Json]) -> Json:
    summary, _, more = (call.run.__doc__ or "").partition("\n")
    told: Json = {"operationId": call.name, "summary": summary}
    if more.strip():
        told["description"] = " ".join(more.split())
    if call.method == "GET":
        told["parameters"] = _parameters(call)
    else:
        content: Json = {"schema": shapes[call.asks], "example": call.example}
        told["requestBody"] = {"required": True, "content": {JSON: content}}
    told["responses"] = {"200": _answer(call, shapes), **_refusals(refusals(call), shapes)}
    return told


def _parameters(call: Call) -> list[Json]:
    (_,), schemas = msgspec.json.schema_components([call.asks], ref_template=_REF)
    asked = schemas[call.asks.__name__]
    return [
        {
            "name": name,
            "in": "path" if f"{{{name}}}" in call.path else "query",
            "required": name in asked["required"],
            "schema": schema,
        }
        for name, schema in asked["properties"].items()
    ]


def _answer(call: Call, shapes: Mapping[type, Json]) -> Json:
    binary: Json = {"type": "string"}
    versioned = {"$ref": _REF.format(name=VERSIONED)}
    content = {
        media: {"schema": binary if shape is None else {"allOf": [versioned, shapes[shape]]}}
        for media, shape in call.gives.items()
    }
    return {"description": "The answer.", "content": content}


def _refusals(kinds: Iterable[str], shapes: Mapping[type, Json]) -> Json:
    """Return the refusals by their status, in order."""
    by_status: dict[int, list[str]] = {}
    for kind in kinds:
        by_status.setdefault(KINDS[kind].status, []).append(kind)
    return {
        str(status): {
            "description": f"{HTTPStatus(status).phrase}: {', '.join(named)}.",
            "content": {MEDIA: {"schema": shapes[Problem]}},
        }
        for status, named in sorted(by_status.items())
    }


def _versioned() -> Json:
    return {
        "title": VERSIONED,
        "description": "Every answer says which version of the shapes it has.",
        "type": "object",
        "properties": {"schema_version": {"const": SCHEMA_VERSION}},
        "required": ["schema_version"],
    }
