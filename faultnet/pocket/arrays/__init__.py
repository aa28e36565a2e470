"""Arrays for where there is no NumPy: as much of it as the rooms use, with its meaning.

Where the page thinks, `standing.stand_in` puts them in the place of the package `numpy`.
All numbers lie as doubles; what an array holds (truths, counts or numbers) is its kind.
"""
