"""What can hurt somebody in this class, and where it is said.

In: the lesson as made, kitchen, catalogue of cautions, the day's clocks.
Out: cautions by step and place, the fridge's clock and hand washing in minutes from the start of the class, briefing, wall
sheet, risk assessment. General guidance: local rules and qualified advice come first.
"""

__all__ = [
    "bench_use",
    "briefing",
    "cautions",
    "class_cautions",
    "class_safety",
    "frames",
    "fridge",
    "hygiene",
    "risk",
    "safety_sheet",
]
