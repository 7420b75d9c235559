"""The safety signs a caution may carry."""

from __future__ import annotations

from collections.abc import Mapping

SIGNS: Mapping[str, str] = {
    "W001": "General warning sign",
    "W007": "Floor-level obstacle",
    "W011": "Slippery surface",
    "W012": "Electricity",
    "W017": "Hot surface",
    "W018": "Automatic start-up",
    "W022": "Sharp element",
    "W024": "Crushing of hands",
    "W071": "Substance or mixture presenting a health hazard",
    "W079": "Hot content",
    "W080": "Hot steam",
    "W088": "Moving blades",
    "M001": "General mandatory action sign",
    "M002": "Refer to instruction manual/booklet",
    "M006": "Disconnect mains plug from electrical outlet",
    "M009": "Wear protective gloves",
    "M011": "Wash your hands",
    "P003": "No open flame; fire, open ignition source and smoking prohibited",
    "P010": "Do not touch",
    "P011": "Do not extinguish with water",
    "P022": "No eating or drinking",
    "E003": "First aid",
    "F001": "Fire extinguisher",
    "F016": "Fire blanket",
}
"""Signs that can be drawn, with the names registered in ISO 7010:2019 and its amendments (ids and names as a public list gives them)."""
