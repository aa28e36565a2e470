"""Work that splits: many questions shared among processes, here or on more than one machine."""
