"""How much of everything this class takes.

In: lesson, class day, kitchen, larder, and who makes what with which changes.
Out: grams as the scales can weigh them, by person, dough, station and session; tins and trays; the dough of the day.
"""

__all__ = [
    "amount_parts",
    "changed_lesson",
    "dough_day",
    "on_the_scale",
    "scaling",
    "vessels",
]
