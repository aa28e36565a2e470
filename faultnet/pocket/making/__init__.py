"""Making the page: the files that a browser needs, written to a folder."""
