"""Baker's arithmetic of one dough; it knows no class.

In: formulas in baker's percent, pieces in grams, temperatures in °C, times in minutes, all exact fractions.
Out: grams, percents, degrees and minutes, exact; what is outside the trade's ranges as problems with a place.
"""

__all__ = [
    "dough_sums",
    "formulas",
    "home_batch",
    "measures",
    "pieces",
    "preferments",
    "proof_time",
    "sanity",
    "water",
    "yeast",
]
