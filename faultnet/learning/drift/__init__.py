"""Whether causes become commoner or rarer over the years, and with the season."""
