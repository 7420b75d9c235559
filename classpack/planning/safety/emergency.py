"""The emergency number of the kitchen's country, for the wall. An unknown country leaves a blank and a remark, never a guess."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from classpack.errors import Remark
from classpack.model.countries import country_code
from classpack.model.kitchen import Kitchen


@dataclass(frozen=True, slots=True)
class CountryCalls:
    """Whom to call in a country: ``call`` first, ``also`` reaches the same people; ``advice`` is for what can wait.

    ``checked`` is ``read``, ``read second-hand`` or ``memory``, as in the cautions' catalogue.
    """

    call: str
    also: tuple[str, ...] = ()
    advice: str = ""
    gas: str = ""
    source: str = ""
    checked: str = "memory"


_EU = "European Commission, 112: the European emergency number, reached from any EU country"
_EU_COUNTRIES = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IT LT LU LV MT NL PL PT RO SE SI SK"

CALLS: Mapping[str, CountryCalls] = {
    **{code: CountryCalls("112", source=_EU, checked="read") for code in _EU_COUNTRIES.split(" ")},
    "IE": CountryCalls("112", ("999",), source=_EU, checked="read"),
    "GB": CountryCalls(
        "999",
        ("112",),
        "111",
        "0800 111 999",
        "NHS North Bristol burns page (999, 111); UK gas company pages (gas emergency, Great Britain)",
        "read",
    ),
    "AU": CountryCalls(
        "000",
        ("112 from a mobile",),
        source="Australian Government, triplezero.gov.au, Using other emergency numbers",
        checked="read",
    ),
    "NZ": CountryCalls(
        "111", source="New Zealand press quoting the police, 2014", checked="read second-hand"
    ),
    "US": CountryCalls("911", source="Public encyclopaedia, 911 in the Americas", checked="read second-hand"),
    "CA": CountryCalls("911", source="Public encyclopaedia, 911 in the Americas", checked="read second-hand"),
    "IS": CountryCalls("112"),
    "NO": CountryCalls("113", ("112",)),
    "CH": CountryCalls("144", ("112",)),
    "LI": CountryCalls("144", ("112",)),
    "JP": CountryCalls("119"),
    "KR": CountryCalls("119"),
    "SG": CountryCalls("995"),
    "HK": CountryCalls("999", ("112 from a mobile",)),
    "IN": CountryCalls("112"),
    "ZA": CountryCalls("10177", ("112 from a mobile",)),
}  # fmt: skip
"""By ISO 3166-1 alpha-2 code. Ambulance first where a country has several numbers."""


@dataclass(frozen=True, slots=True)
class EmergencyCall:
    """What the wall says. ``call`` empty: a blank line to fill in by hand."""

    call: str
    also: tuple[str, ...]
    advice: str
    gas: str
    source: str
    confirm: bool
    remarks: tuple[Remark, ...]


def emergency_call(kitchen: Kitchen) -> EmergencyCall:
    """The number for the wall: the kitchen file's own, else its country's, else a blank; with remarks."""
    known = CALLS.get(country_code(kitchen.country))
    stated = kitchen.emergency_number.strip()
    remarks = []
    if known is None and not stated:
        remarks.append(
            Remark(
                "safety",
                f"No emergency number is known for '{kitchen.country}': the safety sheet has a blank; fill it in, or write "
                "'emergency number' in the kitchen file."
                if kitchen.country
                else "The kitchen file names no country: the safety sheet has a blank for the emergency number; write "
                "'country' and 'emergency number'.",
            )
        )
        return EmergencyCall("", (), "", "", "", True, tuple(remarks))
    if known is None:
        return EmergencyCall(stated, (), "", "", "the kitchen file", False, ())
    numbers = (known.call, *known.also)
    if stated and stated not in {number.split(" ")[0] for number in numbers}:
        remarks.append(
            Remark(
                "safety",
                f"The kitchen file's emergency number is {stated}; in {kitchen.country} it is usually "
                f"{' or '.join(numbers)}. The kitchen file's is printed: make sure of it.",
            )
        )
    call = stated or known.call
    also = tuple(number for number in numbers if number.split(" ")[0] != call)
    confirm = not stated and known.checked == "memory"
    if confirm:
        remarks.append(
            Remark(
                "safety", f"The emergency number {call} is from memory: confirm it with your venue."
            )
        )
    return EmergencyCall(call, also, known.advice, known.gas, known.source, confirm, tuple(remarks))
