"""The tables as they are by now; how they came about stands in ``cases/store/steps``."""

from sqlalchemy import Column, Integer, MetaData, Table, Text

_METADATA = MetaData()

ACCOUNTS = Table(
    "faultnet_accounts",
    _METADATA,
    Column("id", Text, primary_key=True),
    Column("name", Text),
    Column("role", Text),
    Column("password", Text),
    Column("made", Text),
)
"""``password`` is an Argon2 hash with its salt and its costs; ``made`` is a time."""

SESSIONS = Table(
    "faultnet_sessions",
    _METADATA,
    Column("digest", Text, primary_key=True),
    Column("account", Text),
    Column("begun", Text),
    Column("seen", Text),
)
"""Who is logged in: the digest of the secret in the browser, and two times.

They go with their account.
"""

TOKENS = Table(
    "faultnet_tokens",
    _METADATA,
    Column("id", Text, primary_key=True),
    Column("digest", Text),
    Column("name", Text),
    Column("role", Text),
    Column("made", Text),
    Column("expires", Text),
    Column("used", Text),
    Column("revoked", Text),
)
"""Keys for programs, each as the digest of its secret; ``used`` and ``revoked`` may be empty."""

TRIES = Table(
    "faultnet_tries",
    _METADATA,
    Column("key", Text, primary_key=True),
    Column("begun", Text),
    Column("count", Integer),
)
"""How often was tried since a time; the key is a digest, since people mistype many things."""

TRAIL = Table(
    "faultnet_trail",
    _METADATA,
    Column("id", Text, primary_key=True),
    Column("at", Text),
    Column("who", Text),
    Column("address", Text),
    Column("deed", Text),
    Column("about", Text),
)
"""Who did what, and when; the database refuses to change or delete a row."""
