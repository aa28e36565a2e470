"""From the minutes that steps took to the minutes that the files should say."""
