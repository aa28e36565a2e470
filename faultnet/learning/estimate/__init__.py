"""Closed cases to numbers: expectation-maximisation on the network, every case met exactly."""
