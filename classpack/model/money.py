"""Money in whole smallest coins: pence, cents, yen."""

from __future__ import annotations

_PLACES = {
    **dict.fromkeys(("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF"), 0),
    **dict.fromkeys(("UGX", "VND", "VUV", "XAF", "XOF", "XPF"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
}


def coin_places(currency: str) -> int:
    """Decimals of a price in ``currency`` (ISO 4217:2015, list one, minor units; from memory). Two unless listed.

    >>> coin_places("GBP"), coin_places("JPY"), coin_places("")
    (2, 0, 2)
    """
    return _PLACES.get(currency, 2)
