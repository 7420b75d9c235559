"""One shopping list in packs.

In: the session's needs in grams or pieces, what is in stock, the larder's packs.
Out: what to buy, what is left, and money in whole smallest coins.
"""

__all__ = ["basket"]
