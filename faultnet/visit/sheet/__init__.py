"""The closing sheet as it is filled in: one short turn, and a key for each kind of line."""
