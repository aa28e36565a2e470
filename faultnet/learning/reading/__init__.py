"""Where closed cases are read from, and how they are written: files, tables, the case store."""
