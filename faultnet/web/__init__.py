"""The page: one small server over the store; it shows and computes nothing."""
