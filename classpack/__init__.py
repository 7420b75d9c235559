"""classpack: from a lesson and a class day to the printed pack of a bread class."""

__version__ = "0.1.0"
