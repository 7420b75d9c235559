"""Everything computed, as JSON for other programs. Never holds what a person must not eat.

Weights are grams and times minutes after midnight of the class's date; both are numbers. A number that has no exact decimal form is
rounded to six places.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from classpack.model.class_plan import Portion, Weighed
from classpack.model.timed_day import Entry
from classpack.planning.amounts.amount_parts import AmountPart
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.weigh_out import IngredientTubs, WeighOut
from classpack.quantities import number
from classpack.sheets.exports.safety_json import safety_json

VERSION = "classpack-class/1"

Json = dict[str, object]


def class_json(plan: ClassPlan) -> str:
    """The plan as a JSON text; see ``tests/data/class.schema.json`` for its form."""
    return json.dumps(_plan(plan), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _plan(plan: ClassPlan) -> Json:
    day = plan.day
    return {
        "schema": VERSION,
        "class": {
            "title": day.title,
            "lesson": plan.lesson.title,
            "kitchen": plan.kitchen.name,
            "date": day.date.isoformat(),
            "start_min": day.start_min,
            "end_min": day.end_min,
            "region": day.region,
            "mixing": day.mixed_by,
        },
        "doughs": [
            {
                "key": unit.key,
                "kind": unit.kind,
                "station": unit.station,
                "seats": [day.people[index].seat for index in unit.people],
                "dough_g": number(unit.dough_g),
                "pieces": [{"bread": name, "pieces": count} for name, count in unit.pieces],
                "lines": _weighed(unit.lines),
            }
            for unit in plan.units
        ],
        "people": [
            {
                "name": one.person.name,
                "seat": one.person.seat,
                "station": one.person.station,
                "dough": one.unit,
                "breads": _portions(plan, one.portions),
                "for_bench_and_bowl": _weighed(one.dusting),
            }
            for one in plan.people
        ],
        "batches": [
            {
                "kind": one.kind,
                "breads": _portions(plan, one.portions),
                "for_bench_and_bowl": _weighed(one.dusting),
            }
            for one in plan.batches
        ],
        "stations": [
            {
                "name": one.station.name,
                "place": one.station.place,
                "seats": [day.people[index].seat for index in one.people],
                "weigh_out": _weighed(one.weigh_out),
                "clock": [_entry(plan, entry) for entry in plan.clocks.station(one.station.name)],
            }
            for one in plan.stations
        ],
        "ovens": [
            {"name": name, "clock": [_entry(plan, entry) for entry in entries]}
            for name, entries in plan.clocks.ovens
        ],
        "shopping": {
            "currency": day.currency,
            "total": plan.basket.total,
            "without_price": list(plan.basket.unpriced),
            "lines": [
                {
                    "ingredient": line.ingredient,
                    "aisle": line.aisle,
                    "unit": line.unit,
                    "need": number(line.need),
                    "have": number(line.have),
                    "left": number(line.left),
                    "cost": line.cost,
                    "packs": [
                        {
                            "size": number(bought.pack.value),
                            "unit": bought.pack.unit,
                            "count": bought.count,
                            "price": bought.price,
                        }
                        for bought in line.buy
                    ],
                    "from": [
                        {"where": part.where, "grams": number(part.grams)} for part in line.parts
                    ],
                }
                for line in plan.basket.lines
            ],
        },
        "weigh_out": _weigh_out(plan.weighed),
        "kit": [
            {
                "name": line.name,
                "needed": line.total,
                "at_once": line.at_once,
                "kitchen_has": line.have,
                "to_bring": line.short,
                "places": [{"place": place, "count": count} for place, count in line.places],
            }
            for line in plan.kit.lines
        ],
        "costs": _costs(plan),
        "before_the_class": _before(plan),
        "nutrition_estimates": [
            {
                "bread": one.variation,
                "piece_g": number(one.piece_g),
                "rounded_for": one.region,
                "per_100g": {row.key: row.text for row in one.per_100g},
                "per_piece": {row.key: row.text for row in one.per_piece},
                "unknown": list(one.missing),
                "sources": list(one.sources),
            }
            for one in plan.nutrition
        ],
        "day": {
            "verdict": plan.verdict.kind,
            "spare_min": plan.verdict.spare_min,
            "text": plan.verdict.text,
            "remedies": [
                {
                    "kind": one.kind,
                    "about": one.what,
                    "ends_earlier_by_min": one.gain_min,
                    "end_min": plan.timed.clock(one.finish_min),
                    "fits": one.fits,
                    "proven": one.proven,
                    "text": one.text,
                }
                for one in plan.remedies
            ],
            "doughs_colder_and_warmer": [
                {
                    "degrees_c": one.degrees_c,
                    "end_min": plan.timed.clock(one.finish_min),
                    "text": one.text,
                }
                for one in plan.warmer_room
            ],
        },
        "safety": safety_json(plan),
        "remarks": [str(remark) for remark in plan.remarks],
    }


def _weigh_out(weighed: WeighOut) -> Json:
    return {
        "turns": [
            {
                "holds": list(turn.allergens),
                "ingredients": [_tubs(one) for one in turn.ingredients],
            }
            for turn in weighed.turns
        ],
        "on_the_day": [_tubs(one) for one in weighed.on_the_day],
    }


def _tubs(one: IngredientTubs) -> Json:
    return {
        "ingredient": one.ingredient,
        "grams": number(one.grams),
        "allowance_g": number(one.allowance_g),
        "tubs": [
            {
                "for": tub.kind,
                "place": tub.where,
                "grams": number(tub.grams),
                "count": None if tub.count is None else number(tub.count),
                "step_g": number(tub.step_g),
                "weighings": [
                    {"times": weighing.times, "grams": number(weighing.grams)}
                    for weighing in tub.weighings
                ],
                "shares": [
                    {
                        "seats": list(share.seats),
                        "grams": number(share.grams),
                        "count": None if share.count is None else number(share.count),
                        "parts": _parts(share.parts),
                    }
                    for share in tub.shares
                ],
                "parts": _parts(tub.parts),
                "lot": tub.lot,
                "lots": tub.lots,
            }
            for tub in one.tubs
        ],
    }


def _parts(parts: Iterable[AmountPart]) -> list[Json]:
    return [
        {
            "purpose": part.purpose,
            "bread": part.bread,
            "grams": number(part.grams),
            "count": None if part.count is None else number(part.count),
        }
        for part in parts
    ]


def _costs(plan: ClassPlan) -> Json:
    """In smallest coins, parts of them too."""
    costs = plan.costs
    return {
        "currency": costs.currency,
        "paid": costs.paid,
        "paid_per_person": costs.head_paid,
        "used": number(costs.used),
        "used_per_person": number(costs.head),
        "from_cupboard": number(costs.from_cupboard),
        "left_over": number(costs.left_over),
        "demonstration": number(costs.demonstration),
        "spare": number(costs.spare),
        "allowance": number(costs.allowance),
        "breads": [
            {
                "bread": one.variation,
                "pieces": one.pieces,
                "together": number(one.all_coins),
                "piece": number(one.piece_coins),
            }
            for one in costs.breads
        ],
        "without_price": list(costs.unpriced),
    }


def _before(plan: ClassPlan) -> Json:
    """Minutes after midnight of the class's date, as a clock shows them; below 0 is the day before."""
    prep = plan.prep
    shows = plan.clock.shows
    return {
        "weigh_the_day_before": list(prep.weigh_ahead),
        "weigh_that_morning": list(prep.that_morning),
        "keep_cold": list(prep.keep_cold),
        "preferments": [
            {
                "name": one.name,
                "mix_min": shows(one.mix_min),
                "earliest_min": shows(one.from_min),
                "latest_min": shows(one.until_min),
                "used_min": shows(one.first_min),
                "ripe_c": number(one.ripe_c),
                "culture_g": number(one.culture_g),
            }
            for one in prep.preferments
        ],
        "out_of_the_fridge": [
            {
                "ingredient": one.ingredient,
                "station": one.station,
                "lot": one.lot,
                "lots": one.lots,
                "out_min": shows(one.out_min),
                "bin_min": shows(one.bin_min) if one.spoils else None,
                "used_min": [shows(minute) for minute in one.used_min],
            }
            for one in prep.cold
        ],
    }


def _weighed(lines: Iterable[Weighed]) -> list[Json]:
    return [
        {
            "ingredient": line.ingredient,
            "grams": number(line.grams),
            "count": None if line.count is None else number(line.count),
            "bakers_percent": None if line.percent is None else number(line.percent),
            "purpose": line.purpose,
        }
        for line in lines
    ]


def _portions(plan: ClassPlan, portions: Iterable[Portion]) -> list[Json]:
    return [
        {
            "bread": one.variation,
            "pieces": one.pieces,
            "piece_dough_g": number(plan.lesson.variation(one.variation).piece_dough_g),
            "piece_baked_g": number(one.baked_piece_g),
            "toppings": _weighed(one.toppings),
        }
        for one in portions
    ]


def _entry(plan: ClassPlan, entry: Entry) -> Json:
    start = plan.day.start_min
    found: Json = {
        "kind": entry.kind,
        "start_min": start + entry.start_min,
        "end_min": start + entry.end_min,
    }
    if entry.what:
        found["what"] = entry.what
    if entry.variation:
        found |= {"bread": entry.variation, "pieces": entry.pieces, "station": entry.station}
        found["seats"] = [plan.day.people[index].seat for index in entry.people]
    if entry.oven:
        found |= {"oven": entry.oven, "dial_c": round(entry.dial_c)}
        found["shelves"] = list(entry.shelves)
    return found
