"""Trials: whole imagined or recorded calls, gone about in one way or another."""
