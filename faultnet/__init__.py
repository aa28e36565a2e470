"""faultnet ranks the likely causes of pump trouble and prices the next step."""

__version__ = "0.1.0"
