"""The version of the shapes; fields are added, never renamed."""

SCHEMA_VERSION = 1
"""Counts up when a field must be renamed or left out."""
