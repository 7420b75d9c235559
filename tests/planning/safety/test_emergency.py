"""The number on the wall, by the kitchen's country."""

from fractions import Fraction

import pytest

from classpack.model.countries import CODES, NAMES, country_code
from classpack.model.kitchen import Kitchen, Oven, Scale
from classpack.planning.safety.emergency import CALLS, emergency_call


def kitchen(**rest: object) -> Kitchen:
    oven = Oven("left", "conventional", 2, Fraction(250))
    return Kitchen("Hall", "hall.yaml", (oven,), (Scale(Fraction(1), Fraction(5000)),), **rest)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("country", "call"),
    [
        ("GB", "999"),  # NHS North Bristol burns page: 999 or 111
        ("DE", "112"),  # European Commission: 112 from any EU country
        ("IE", "112"),
        ("AU", "000"),  # Australian Government, triplezero.gov.au
        ("NZ", "111"),
        ("US", "911"),
        ("United States", "911"),
        ("new zealand", "111"),
    ],
)
def test_the_number_of_a_country(country, call):
    found = emergency_call(kitchen(country=country))
    assert found.call == call
    assert found.remarks == ()
    assert not found.confirm


def test_britain_has_a_second_number_an_advice_line_and_a_gas_line():
    found = emergency_call(kitchen(country="UK"))
    assert (found.also, found.advice, found.gas) == (("112",), "111", "0800 111 999")


def test_an_unknown_country_leaves_a_blank_and_a_remark():
    found = emergency_call(kitchen(country="Atlantis"))
    assert found.call == ""
    assert [one.text for one in found.remarks] == [
        "No emergency number is known for 'Atlantis': the safety sheet has a blank; fill it in, or write "
        "'emergency number' in the kitchen file."
    ]
    (remark,) = emergency_call(kitchen()).remarks
    assert remark.text.startswith("The kitchen file names no country")


def test_the_kitchen_files_own_number_is_printed_and_an_odd_one_is_told():
    assert emergency_call(kitchen(country="Atlantis", emergency_number="33")).call == "33"
    same = emergency_call(kitchen(country="GB", emergency_number="112"))
    assert (same.call, same.also, same.remarks) == ("112", ("999",), ())
    odd = emergency_call(kitchen(country="GB", emergency_number="911"))
    assert odd.call == "911"
    assert "usually 999 or 112" in odd.remarks[0].text


def test_a_number_from_memory_must_be_confirmed():
    found = emergency_call(kitchen(country="JP"))
    assert found.confirm
    assert (
        found.remarks[0].text
        == "The emergency number 119 is from memory: confirm it with your venue."
    )


def test_all_27_countries_of_the_union_have_112_and_every_name_leads_somewhere():
    union = [
        "AT",
        "BE",
        "BG",
        "HR",
        "CY",
        "CZ",
        "DK",
        "EE",
        "FI",
        "FR",
        "DE",
        "GR",
        "HU",
        "IE",
        "IT",
        "LV",
        "LT",
        "LU",
        "MT",
        "NL",
        "PL",
        "PT",
        "RO",
        "SK",
        "SI",
        "ES",
        "SE",
    ]
    assert len(union) == 27
    assert {CALLS[one].call for one in union} == {"112"}
    assert set(CALLS) == CODES
    assert all(country_code(name) in CALLS for name in NAMES)
