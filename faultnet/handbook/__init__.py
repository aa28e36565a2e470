"""The knowledge to read and to print: a section for each entry, and a book of them all."""
