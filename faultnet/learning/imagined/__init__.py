"""Imagined closed cases in bulk: invented calls, gone about quickly, and written down."""
