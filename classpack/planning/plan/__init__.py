"""The whole plan of a class day.

In: ``Sources``, everything that was read; on the day, what happened.
Out: ``Planned``: the ``ClassPlan`` that everything printed is selected from, and beside it what is confidential.
Grams, minutes from the start of the class, °C and smallest coins.
"""

__all__ = ["bread_facts", "class_plan", "dough_table", "plan_class", "plan_rest", "sources"]
