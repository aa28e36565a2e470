"""Which closed cases can be used with the knowledge of today, and why the others cannot."""
