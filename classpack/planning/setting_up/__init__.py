"""The work before the class: tubs, kit, preferments, costs.

In: the groundwork of a class (who makes what of how much, when, bought how).
Out: every tub in grams with its turn, tools and tins by place, what is done ahead in minutes from the start of the class,
what a bread is made of, and costs in smallest coins.
"""

__all__ = [
    "bench_rows",
    "composition",
    "costs",
    "groundwork",
    "kit",
    "kit_list",
    "prep_ahead",
    "weigh_out",
]
