"""Hydraulics and electrics of the trade: pure functions, units in the names."""
