"""The safety of a class for ``class.json``: every caution with where it is printed, what was turned off, washing, the fridge, cooling."""

from __future__ import annotations

from classpack.model.safety import FiredCaution
from classpack.planning.plan.class_plan import ClassPlan
from classpack.quantities import number

Json = dict[str, object]


def safety_json(plan: ClassPlan) -> Json:
    """What the safety papers are printed from. Minutes count after midnight of the class's date."""
    safety, clock = plan.safety, plan.timed.clock
    return {
        "cautions": [_caution(plan, met.fired) for met in safety.met],
        "turned_off": [{"id": one.fired.id, "reason": one.reason} for one in safety.off],
        "hand_washing": [
            {
                "station": one.station,
                "times": [{"min": clock(wash.minute), "why": wash.why} for wash in one.washing],
            }
            for one in safety.stations
        ],
        "cooling": [
            {
                "bread": one.variation,
                "carry_min": number(one.carry_min),
                "slice_min": number(one.slice_min),
                "bag_min": number(one.bag_min),
                "not_said_by_the_lesson": list(one.assumed),
            }
            for one in safety.cooling
        ],
        "ovens_open_at_once": safety.hot_jobs,
        "group_larger_because": safety.confirmed,
    }


def _caution(plan: ClassPlan, fired: FiredCaution) -> Json:
    """One caution and everybody whose paper prints it."""
    paper, people = plan.on_paper, plan.people
    seats = [people[n].person.seat for n, card in enumerate(paper.cards) if fired.id in card.ids]
    return {
        "id": fired.id,
        "signal_word": fired.severity,
        "text": fired.caution.full,
        "hazard": fired.caution.hazard,
        "cards": seats,
        "stations": [name for name, hung in paper.stations.items() if _among(fired, hung)],
        "wall": any(met.fired.id == fired.id for met in plan.safety.sheet.hazards),
        "tutor": _among(fired, paper.tutor),
        "from_memory": fired.caution.checked == "memory",
    }


def _among(fired: FiredCaution, cautions: tuple[FiredCaution, ...]) -> bool:
    return any(one.id == fired.id for one in cautions)
