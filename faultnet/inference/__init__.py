"""Exact engines: evidence in, beliefs out."""
