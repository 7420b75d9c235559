"""The search for a day that fits: numbers in, start minutes out.

In: a day's problem (``model.day``): doughs, lots, ovens and hands with lengths and windows in minutes.
Out: a plan with every start in minutes from the start of the class, what it breaks, what would help. No clock, no chance:
the same problem gives the same plan.
"""

__all__ = [
    "faults",
    "planner",
    "remedies",
    "replan",
    "slow_room",
    "spans",
    "verdict",
    "waits",
    "warmer_room",
]
