"""Accounts, sessions, tokens and the trail, in either database."""
