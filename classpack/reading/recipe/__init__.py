"""A recipe pasted as text: what every line says, what it asks, and the lesson that comes of it.

In: text and the region it is read for. Out: a :class:`ReadRecipe` (every line read, asked or listed as not understood), and the
files of a lesson. Grams are exact; nothing is dropped and nothing is guessed in silence.
"""
