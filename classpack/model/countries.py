"""The countries classpack knows something of, by their ISO 3166-1 alpha-2 codes and by the names people write."""

from __future__ import annotations

from collections.abc import Mapping

CODES = frozenset(
    [
        "AT",
        "AU",
        "BE",
        "BG",
        "CA",
        "CH",
        "CY",
        "CZ",
        "DE",
        "DK",
        "EE",
        "ES",
        "FI",
        "FR",
        "GB",
        "GR",
        "HK",
        "HR",
        "HU",
        "IE",
        "IN",
        "IS",
        "IT",
        "JP",
        "KR",
        "LI",
        "LT",
        "LU",
        "LV",
        "MT",
        "NL",
        "NO",
        "NZ",
        "PL",
        "PT",
        "RO",
        "SE",
        "SG",
        "SI",
        "SK",
        "US",
        "ZA",
    ]
)

NAMES: Mapping[str, str] = {
    "united kingdom": "GB", "uk": "GB", "great britain": "GB", "england": "GB", "scotland": "GB", "wales": "GB",
    "northern ireland": "GB", "ireland": "IE", "united states": "US", "usa": "US", "u.s.": "US", "canada": "CA",
    "australia": "AU", "new zealand": "NZ", "germany": "DE", "france": "FR", "spain": "ES", "italy": "IT",
    "netherlands": "NL", "belgium": "BE", "austria": "AT", "switzerland": "CH", "denmark": "DK", "sweden": "SE",
    "norway": "NO", "finland": "FI", "iceland": "IS", "portugal": "PT", "poland": "PL", "greece": "GR", "el": "GR",
    "czechia": "CZ", "japan": "JP", "south korea": "KR", "singapore": "SG", "india": "IN", "south africa": "ZA",
}  # fmt: skip


def country_code(country: str) -> str:
    """The ISO 3166-1 alpha-2 code of a country as a kitchen file names it, empty when it is not known here.

    >>> country_code("GB"), country_code("New Zealand"), country_code("Atlantis")
    ('GB', 'NZ', '')
    """
    said = country.strip()
    if said.upper() in CODES:
        return said.upper()
    return NAMES.get(said.lower(), "")
