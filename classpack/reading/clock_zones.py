"""When a country moves its clocks, from the tz database (IANA) by way of the standard library's ``zoneinfo``.

A kitchen file names a country and no town, so each country has the zone of its capital or, in the United States, Canada and
Australia, of its largest town; where that is not all of the country, the change says so. Islands that keep another hour (the
Canaries, the Azores, the Chatham Islands, Lord Howe Island) are not known here.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from functools import cache
from zoneinfo import ZoneInfo

from classpack.model.clock import ClockChange
from classpack.model.countries import country_code

ZONES: Mapping[str, str] = {
    "AT": "Europe/Vienna", "AU": "Australia/Sydney", "BE": "Europe/Brussels", "BG": "Europe/Sofia", "CA": "America/Toronto",
    "CH": "Europe/Zurich", "CY": "Asia/Nicosia", "CZ": "Europe/Prague", "DE": "Europe/Berlin", "DK": "Europe/Copenhagen",
    "EE": "Europe/Tallinn", "ES": "Europe/Madrid", "FI": "Europe/Helsinki", "FR": "Europe/Paris", "GB": "Europe/London",
    "GR": "Europe/Athens", "HK": "Asia/Hong_Kong", "HR": "Europe/Zagreb", "HU": "Europe/Budapest", "IE": "Europe/Dublin",
    "IN": "Asia/Kolkata", "IS": "Atlantic/Reykjavik", "IT": "Europe/Rome", "JP": "Asia/Tokyo", "KR": "Asia/Seoul",
    "LI": "Europe/Vaduz", "LT": "Europe/Vilnius", "LU": "Europe/Luxembourg", "LV": "Europe/Riga", "MT": "Europe/Malta",
    "NL": "Europe/Amsterdam", "NO": "Europe/Oslo", "NZ": "Pacific/Auckland", "PL": "Europe/Warsaw", "PT": "Europe/Lisbon",
    "RO": "Europe/Bucharest", "SE": "Europe/Stockholm", "SG": "Asia/Singapore", "SI": "Europe/Ljubljana",
    "SK": "Europe/Bratislava", "US": "America/New_York", "ZA": "Africa/Johannesburg",
}  # fmt: skip
"""By ISO 3166-1 alpha-2 code, for every country of :data:`classpack.model.countries.CODES`."""
_REGIONS: Mapping[str, tuple[str, str]] = {
    "UK": ("Europe/London", ""),
    "EU": ("Europe/Brussels", "EU"),
    "US": ("America/New_York", "US"),
    "AU": ("Australia/Sydney", "AU"),
    "NZ": ("Pacific/Auckland", ""),
}
"""Zone and limits where the kitchen file names no country that is known: by the class file's region."""
_PARTLY = ("AU", "CA", "US")


def clock_changes(region: str, country: str, year: int) -> tuple[ClockChange, ...]:
    """When the clocks are moved in a year, in the order of the year; none where they never are.

    Args:
        region: the class file's, one of UK, EU, US, AU, NZ.
        country: the kitchen file's, as written there; it comes before the region.

    >>> [(str(one.date), one.at_min // 60, one.by_min) for one in clock_changes("EU", "Germany", 2027)]
    [('2027-03-28', 2, 60), ('2027-10-31', 3, -60)]
    """
    code = country_code(country)
    if code in ZONES:
        zone, limits = ZONES[code], code if code in _PARTLY else ""
    elif region in _REGIONS:
        zone, limits = _REGIONS[region]
    else:
        return ()
    return _changes(zone, limits, year)


@cache
def _changes(zone_name: str, limits: str, year: int) -> tuple[ClockChange, ...]:
    zone = ZoneInfo(zone_name)

    def offset_min(moment: datetime.datetime) -> int:
        offset = moment.astimezone(zone).utcoffset() or datetime.timedelta(0)
        return offset // datetime.timedelta(minutes=1)

    day, minute = datetime.timedelta(days=1), datetime.timedelta(minutes=1)
    first = datetime.datetime(year, 1, 1, tzinfo=datetime.UTC)
    changes = []
    for number in range((datetime.date(year, 12, 31) - first.date()).days):
        low, high = first + number * day, first + (number + 1) * day
        before, by_min = offset_min(low), offset_min(high) - offset_min(low)
        if not by_min:
            continue
        while high - low > minute:  # the first minute with the new offset
            middle = low + (high - low) // minute // 2 * minute
            low, high = (middle, high) if offset_min(middle) == before else (low, middle)
        local = high + before * minute
        changes.append(ClockChange(local.date(), local.hour * 60 + local.minute, by_min, limits))
    return tuple(changes)
