"""This class's hours: from lesson, people and kitchen to clocks, and again when the day goes otherwise.

In: what is made by whom, the class's hours, a plan of the timetable.
Out: the setting of the search, and the clocks of stations, ovens and tutor in minutes from the start of the class.
"""

__all__ = ["again", "clock_change", "clocks", "problems", "setting", "step_minutes"]
