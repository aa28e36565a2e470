"""The page and the JSON API: one small server over the store; it shows and computes nothing."""
