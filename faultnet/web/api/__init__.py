"""The JSON API, described by an OpenAPI 3.1 document."""
