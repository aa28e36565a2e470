"""The tables as they are by now; how they came about stands in ``steps``."""

from sqlalchemy import Column, Integer, MetaData, Table, Text

_METADATA = MetaData()

LOGS = Table(
    "faultnet_logs",
    _METADATA,
    Column("id", Text, primary_key=True),
    Column("kind", Text),
    Column("system", Text),
    Column("site", Text),
    Column("name", Text),
    Column("begun", Text),
    Column("touched", Text),
    Column("author", Text),
    Column("ended", Text),
    Column("entries", Integer),
    Column("purged", Text),
    Column("gone", Text),
)
"""Cases and sites, each with where it stands; all but the last two follow from the entries.

``purged`` and ``gone`` are times: customer texts were taken out, everything was.
"""

ENTRIES = Table(
    "faultnet_entries",
    _METADATA,
    Column("id", Text, primary_key=True),
    Column("log", Text),
    Column("place", Integer),
    Column("author", Text),
    Column("at", Text),
    Column("what", Text),
    Column("words", Text),
    Column("purged", Integer),
    Column("entry", Text),
)
"""The entries as JSON; ``place`` counts those of a log in the order they were kept.

``words`` is the free text in small letters, for searching.
"""
