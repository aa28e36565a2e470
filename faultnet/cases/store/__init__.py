"""Where cases and sites are kept: an SQLite file, or a PostgreSQL server.

Importing it imports SQLAlchemy; what needs only events and what follows from them does not.
"""
