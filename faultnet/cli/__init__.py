"""The command line: thin screens over the advice; they compute nothing."""
