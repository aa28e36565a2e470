"""A section for each kind of entry, in words that page and paper share."""
