"""What a person can state of each safeguard: statements that prove it, and statements that do not.

Rules kept here:
 1. The good statement stands exactly at the edge of the limit where the edge is good, just inside where it is not.
 2. There is one bad statement for every way in which the gate can find fault, each just beyond its edge and good in
    all else: a gate that forgets one of its questions is found out.
 3. The gate's words are not read here: this file knows the safety sentences, not the gate's functions.
Knows nothing of: states, procedures.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from coach.core.floors import BEAUFORT_TOP_MM_S
from coach.core.model import PLACE_OPTIONS
from coach.core.moment import Moment
from coach.core.policy import Policy
from coach.prover.cast import HOLDER, OTHER, UNCLEARED, WATCH

Values = dict[str, Any]
OUTDOORS, INDOORS = PLACE_OPTIONS


class Scene:
    """What statements depend on: the policy, the moment, the boat's vents and place, and who holds the job."""

    def __init__(self, policy: Policy, now: Moment, vents: int | None, place: str | None, holder: str) -> None:
        self.policy = policy
        self.today = datetime.fromtimestamp(now.wall / 1000, UTC).date()
        self.vents = vents
        self.place = place
        self.holder = holder


def _all_yes(*names: str) -> Callable[[Scene], Values]:
    return lambda scene: dict.fromkeys(names, True)


def _vents(scene: Scene) -> Values:
    return {"taped": scene.vents or 0, "markers": scene.vents or 0}


def _extinguisher(scene: Scene) -> Values:
    limit = scene.policy.limit
    rating = f"{limit('extinguisher_a')}-A:{limit('extinguisher_b')}-B:C"
    return {
        "rating": rating, "charge": "in_green", "distance": limit("extinguisher_distance"),
        "inspected": scene.today.isoformat(),
    }


def _wind(scene: Scene) -> Values:
    gust = scene.policy.limit("wind_gust") - 1
    return {"how": "meter", "mean": min(scene.policy.limit("wind_mean") - 1, gust), "gust": gust}


def _area(scene: Scene) -> Values:
    return {**_all_yes("people_clear", "nobody_under", "things_clear")(scene), "distance": scene.policy.limit("clear_distance")}


GOOD: Mapping[str, Callable[[Scene], Values]] = {
    "operator": lambda scene: {"person": scene.holder},
    "protection": _all_yes("gloves", "eyes", "clothing"),
    "fuel_system": lambda scene: {"winterized": True, "shown_by": "tag"},
    "vents_taped": _vents,
    "extinguisher": _extinguisher,
    "area": _area,
    "fire_watch": lambda scene: {"person": WATCH, "at_post": True, "equipped": True},
    "air": lambda scene: {"open_air": True} if scene.place == OUTDOORS else {"ventilated": True},
    "gas": lambda scene: {"smell": False, "detector": scene.policy.limit("gas_lel") - 1},
    "leak_test": lambda scene: {"hoses_sound": True, "soaped": True, "bubbles": False},
    "wind": _wind,
}


def can_hold(safeguard: str, scene: Scene) -> bool:
    """Whether any statement could prove it: indoors without the yard's permit the air cannot be proven."""
    if safeguard == "vents_taped":
        return scene.vents is not None
    if safeguard == "air":
        named = bool(scene.policy.indoor_permit and scene.policy.indoor_ventilation)
        return scene.place == OUTDOORS or (scene.place == INDOORS and named)
    return True


def good(safeguard: str, scene: Scene) -> Values:
    """A statement that proves the safeguard, if any does (see `can_hold`)."""
    return GOOD.get(safeguard, lambda scene: {"holds": True})(scene)


def _changes(safeguard: str, scene: Scene) -> list[tuple[str, Values]]:
    """What is changed in the good statement to spoil it, with words for it."""
    limit = scene.policy.limit
    if safeguard == "operator":
        return [("another person is named", {"person": OTHER if scene.holder != OTHER else HOLDER}),
                ("somebody whom the yard has not cleared is named", {"person": UNCLEARED}),
                ("the fire watch is named", {"person": WATCH}), ("nobody is named", {"person": ""})]
    if safeguard == "vents_taped":
        vents = scene.vents or 0
        return [("one tape too many is counted", {"taped": vents + 1, "markers": vents + 1}),
                ("a marker is missing", {"markers": vents + 1}),
                *([("one vent is not taped", {"taped": vents - 1, "markers": vents - 1})] if vents else [])]
    if safeguard == "extinguisher":
        old = scene.today - timedelta(days=limit("extinguisher_days") + 1)
        a, b = limit("extinguisher_a"), limit("extinguisher_b")
        return [("its charge is low", {"charge": "low"}), ("it stands too far", {"distance": limit("extinguisher_distance") + 1}),
                ("its inspection is too old", {"inspected": old.isoformat()}),
                ("its inspection lies in the future", {"inspected": (scene.today + timedelta(days=1)).isoformat()}),
                ("it is too small", {"rating": f"{a - 1}-A:{b}-B:C"}), ("it is too small", {"rating": f"{a}-A:{b - 1}-B:C"}),
                ("it conducts", {"rating": f"{a}-A:{b}-B"})]
    if safeguard == "area":
        return [("things lie too near", {"distance": limit("clear_distance") - 1}), ("people stand near", {"people_clear": False}),
                ("somebody may be under the film", {"nobody_under": False}), ("things that burn are near", {"things_clear": False})]
    if safeguard == "fire_watch":
        return [("the one with the tool is named", {"person": scene.holder}), ("nobody is named", {"person": ""}),
                ("somebody untrained is named", {"person": UNCLEARED}), ("the watch is away", {"at_post": False}),
                ("the watch has no extinguisher", {"equipped": False})]
    return _more_changes(safeguard, scene)


def _more_changes(safeguard: str, scene: Scene) -> list[tuple[str, Values]]:
    limit = scene.policy.limit
    if safeguard == "gas":
        unread = [("the detector is not read", {"detector": None})] if scene.policy.detector_required else []
        return [("there is a smell", {"smell": True}), ("the detector is at its limit", {"detector": limit("gas_lel")}), *unread]
    if safeguard == "leak_test":
        return [("bubbles show", {"bubbles": True}), ("no soapy water was used", {"soaped": False}), ("a hose is cracked", {"hoses_sound": False})]
    if safeguard == "wind":
        force = next(f for f, top in enumerate(BEAUFORT_TOP_MM_S) if top >= limit("wind_gust"))
        return [("the mean wind is at its limit", {"mean": limit("wind_mean"), "gust": max(limit("wind_mean"), limit("wind_gust") - 1)}),
                ("the gust is at its limit", {"gust": limit("wind_gust")}),
                ("the gust is below the mean", {"mean": 2, "gust": 1}), ("the gust is not read", {"gust": None}),
                ("by eye the gusts are too strong", {"how": "by_eye", "mean_force": 1, "gust_force": force}),
                ("by eye it is a hurricane", {"how": "by_eye", "mean_force": 1, "gust_force": 12})]
    if safeguard == "air":
        return [("there is no open air", {"open_air": False, "ventilated": False}),
                ("the other place's question is answered", {"open_air": scene.place != OUTDOORS, "ventilated": scene.place == OUTDOORS})]
    answers = good(safeguard, scene)
    return [(f"'{name}' is answered with no", {name: False if value is True else ""}) for name, value in answers.items()]


def bad(safeguard: str, scene: Scene) -> list[tuple[str, Values]]:
    """Statements that do not prove it, each with what is wrong in it; the last one says nothing at all."""
    answers = good(safeguard, scene)
    if not can_hold(safeguard, scene):
        return [("it is said to hold, though here nothing can prove it", answers), ("nothing is said", {})]
    found = [(words, {**answers, **change}) for words, change in _changes(safeguard, scene)]
    return [*found, ("nothing is said", {})]
