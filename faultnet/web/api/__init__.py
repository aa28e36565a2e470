"""The JSON API, for other programs: one table of calls, and the document that describes them."""
