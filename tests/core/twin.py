"""The slow, obvious twin of the kernel for the small job of tests/helpers/procedures.py `covering()`.

It keeps no state and has no tables: every question goes through the log from the start, in plain sentences, with the
shipped limits written out as numbers. It answers whether an action must be refused, and how the job stands.
"""

from __future__ import annotations

from typing import Any

from coach.core import actions as act
from coach.core.events import Event
from coach.core.moment import Moment

Log = list[Event]
ORDER = ("look", "cut", "prop", "weld", "shrink", "close", "unprop", "untape", "hold", "cut-door", "tidy")
CLEARED_BY = {"close": "open_cylinder", "unprop": "prop", "untape": "taped_vents", "hold": "fire_watch"}
SAFEGUARDS = (
    "operator", "protection", "fuel_system", "vents_taped", "extinguisher", "area", "fire_watch", "air", "gas",
    "leak_test", "wind",
)


# -- time --------------------------------------------------------------------------------------------------------


def age(earlier: Moment, later: Moment) -> int | None:
    """Both clocks must agree within 5 s and a hundredth; the older of the two answers counts."""
    if earlier.boot != later.boot:
        return None
    by_steady, by_wall = later.steady - earlier.steady, later.wall - earlier.wall
    if by_steady < 0 or by_wall < -5000 or abs(by_wall - by_steady) > 5000 + by_steady // 100:
        return None
    return max(by_wall, by_steady)


def day(moment: Moment) -> int:
    """The day, counted from 1 January 1970."""
    return moment.wall // 86_400_000


def doubt(log: Log, now: Moment) -> bool:
    """Is time in doubt since the last event?"""
    return bool(log) and (log[-1].at.run != now.run or age(log[-1].at, now) is None)


# -- how the job stands ------------------------------------------------------------------------------------------


def last(log: Log, *kinds: str) -> int:
    for place in range(len(log) - 1, -1, -1):
        if log[place].kind in kinds:
            return place
    return -1


def burning(log: Log) -> bool:
    """Lit, and nobody has said that it is out."""
    return last(log, "flame_lit") > last(log, "flame_out")


def tripped(log: Log) -> bool:
    return last(log, "tripped") > last(log, "trip_reset")


def lit(log: Log) -> bool:
    """Burning, and no trip has ordered it out."""
    return burning(log) and last(log, "flame_lit") > last(log, "tripped")


def calm(log: Log) -> bool:
    return not burning(log) and not tripped(log)


def status(log: Log) -> str:
    now = "new"
    for event in log:
        if event.kind == "job_started" or event.kind == "sent_back":
            now = "working"
        elif event.kind == "paused":
            now = "paused"
        elif event.kind == "resumed" and now == "paused":
            now = "working"
        elif event.kind == "stop_asked":
            now = "stopping"
        elif event.kind == "closed":
            now = "closed"
        elif event.kind == "stopped_safely":
            now = "stopped"
        elif event.kind == "accepted":
            now = "accepted"
    return now


def technicians(log: Log) -> list[str]:
    """All who have had the job, the last one has it now."""
    found = []
    for event in log:
        if event.kind == "job_started":
            found.append(event.data["technician"])
        if event.kind == "handed_over":
            found.append(event.data["to"])
    return found


def dated(log: Log) -> bool:
    """Is it the job whose leak test rests on the hose's last good day, and whose cut is held against a width?"""
    return log[0].data["procedure"] == "small-dated"


def hose_good(log: Log, now: Moment) -> bool:
    """ISO days compare as texts do."""
    last = answers(log).get("hose", "")
    return not dated(log) or (last != "" and last >= {20_766: "2026-11-09"}.get(day(now), "2026-11-10"))


def answers(log: Log) -> dict[str, str]:
    return {event.data["measure"]: event.data["value"] for event in log if event.kind == "measured"}


def opened_by(event: Event) -> dict[str, int]:
    """What this event makes owed, with how many: tape that is on, a cylinder that is open, a flame, a prop."""
    if event.kind == "observed":
        values, safeguard = event.data["values"], event.data["safeguard"]
        taped = values.get("taped")
        if safeguard == "vents_taped" and isinstance(taped, int) and taped > 0:
            return {"taped_vents": int(taped)}
        if safeguard == "leak_test" and values.get("soaped") is True:
            return {"open_cylinder": 1}
    if event.kind == "flame_lit":
        return {"open_cylinder": 1, "fire_watch": 1}
    if event.kind == "step_done" and event.data["step"] == "prop":
        return {"prop": 1}
    return {}


def owed(log: Log) -> dict[str, int]:
    """Every debt that is open, with how many, whatever was noted of debts opening."""
    found: dict[str, int] = {}
    for event in log:
        if event.kind in ("debt_cleared", "tag_cleared"):
            found.pop(event.data["debt"], None)
        for debt, amount in opened_by(event).items():
            found[debt] = max(found.get(debt, 0), amount)
    return found


def tagged(log: Log) -> set[str]:
    """Debts that hang on a tag of this stop."""
    found: set[str] = set()
    for event in log[last(log, "sent_back") + 1:]:
        if event.kind == "debt_tagged":
            found.add(event.data["debt"])
        if event.kind in ("debt_cleared", "tag_cleared"):
            found.discard(event.data["debt"])
    return found


def settled_by_hand(log: Log) -> tuple[set[str], set[str]]:
    """Steps that are done and steps that are excused. A debt that opens again takes its clearing step back."""
    done: set[str] = set()
    excused: set[str] = set()
    for event in log:
        if event.kind == "step_done":
            done.add(event.data["step"])
            excused.discard(event.data["step"])
        if event.kind == "step_excused":
            excused.add(event.data["step"])
        if event.kind == "step_reopened":
            done.discard(event.data["step"])
            excused.discard(event.data["step"])
        for debt in opened_by(event):
            done -= {step for step, cleared in CLEARED_BY.items() if cleared == debt}
    return done, excused


def heated(log: Log, step: str) -> bool:
    """Was the flame lit for this step since it was last opened?"""
    for event in reversed(log):
        if event.kind == "step_reopened" and event.data["step"] == step:
            return False
        if event.kind == "flame_lit" and event.data["step"] == step:
            return True
    return False


# -- the gate ----------------------------------------------------------------------------------------------------


def proof(log: Log, safeguard: str) -> Event | None:
    """The last thing said of a safeguard in this stay, if it was said as a proof and nothing took it since."""
    drops = {"vents_taped": "taped_vents", "leak_test": "open_cylinder", "fire_watch": "fire_watch"}
    for event in reversed(log):
        if event.kind in ("job_started", "paused", "resumed", "handed_over", "tripped", "trip_reset", "sent_back",
            "closed",
                          "stopped_safely", "accepted"):
            return None
        if event.kind == "withdrawn" and event.data["safeguard"] == safeguard:
            return None
        if event.kind == "debt_cleared" and event.data["debt"] == drops.get(safeguard):
            return None
        if event.kind == "observed" and event.data["safeguard"] == safeguard:
            return event
    return None


def says_yes(values: dict[str, Any], *names: str) -> bool:
    return all(values.get(name) is True for name in names)


def number(values: dict[str, Any], name: str) -> int | None:
    value = values.get(name)
    return value if type(value) is int and value >= 0 else None


def holds(log: Log, safeguard: str, values: dict[str, Any], now: Moment) -> bool:
    """Do these values prove the safeguard at the boats of the tests, with the limits as shipped?"""
    person, said = technicians(log)[-1], answers(log)
    if safeguard == "operator":  # Ana, Joel and Ivo are cleared to the end of June 2027, Sam was until yesterday
        return values.get("person") == person and person in ("ana", "joel", "ivo")
    if safeguard == "protection":
        return says_yes(values, "gloves", "eyes", "clothing")
    if safeguard == "fuel_system":
        return says_yes(values, "winterized") and values.get("shown_by") in ("work_order", "tag", "own_work", "no_tank")
    if safeguard == "vents_taped":
        taped = number(values, "taped")
        return taped is not None and str(taped) == said.get("fuel_vents") and number(values, "markers") == taped
    if safeguard == "extinguisher":
        distance = number(values, "distance")
        near = distance is not None and distance <= 9144
        seen = {"2026-11-02": 20_759}.get(values.get("inspected", ""))
        recent = seen is not None and 0 <= day(now) - seen <= 30
        return values.get("rating") in ("3-A:40-B:C",
            "2-A:20-B:C") and values.get("charge") == "in_green" and near and recent
    if safeguard == "area":
        distance = number(values, "distance")
        return says_yes(values, "people_clear", "nobody_under",
            "things_clear") and distance is not None and distance >= 10_668
    if safeguard == "fire_watch":
        return values.get("person") in ("joel", "pia") and values["person"] != person and says_yes(values, "at_post",
            "equipped")
    if safeguard == "air":
        return said.get("place") == "outdoors" and says_yes(values, "open_air")
    if safeguard == "gas":
        reading = number(values, "detector")
        return values.get("smell") is False and ("detector" not in values or (reading is not None and reading < 100))
    if safeguard == "leak_test":
        return says_yes(values, "hoses_sound", "soaped") and values.get("bubbles") is False and hose_good(log, now)
    mean, gust = number(values, "mean"), number(values, "gust")
    if values.get("how") == "by_eye":
        tops = {0: 200, 1: 1500, 2: 3300, 3: 5400, 4: 7900, 5: 10_700}
        mean, gust = tops.get(values["mean_force"], 99_999), tops.get(values["gust_force"], 99_999)
    return mean is not None and gust is not None and mean <= gust and mean < 5400 and gust < 8000


def proven(log: Log, safeguard: str, now: Moment) -> bool:
    event = proof(log, safeguard)
    if event is None or event.at.run != now.run:
        return False
    old = age(event.at, now)
    minutes = {"wind": 15, "gas": 30, "area": 60, "fire_watch": 60, "protection": 120}.get(safeguard, 240)
    if event.data["met"] is not True or old is None or old > minutes * 60_000:
        return False
    return holds(log, safeguard, dict(event.data["values"]), now)


def gate_open(log: Log, now: Moment) -> bool:
    return all(proven(log, safeguard, now) for safeguard in SAFEGUARDS)


def trip_due(log: Log, now: Moment) -> bool:
    return lit(log) and (doubt(log, now) or not gate_open(log, now))


# -- steps -------------------------------------------------------------------------------------------------------


def asked(log: Log, step: str) -> bool | None:
    """Is the step asked of this boat? None: not known yet."""
    if step in CLEARED_BY:
        return CLEARED_BY[step] in owed(log) or step in settled_by_hand(log)[0]
    if step == "cut-door":
        return {"yes": True, "no": False}.get(answers(log).get("door", ""))
    return True


def all_settled(log: Log, steps: tuple[str, ...]) -> bool:
    """Is each of these steps done, excused, or not asked of this boat?"""
    done, excused = settled_by_hand(log)
    left = [step for step in steps if step not in done and step not in excused]
    return all(asked(log, step) is False for step in left)


def in_turn(log: Log, step: str) -> bool:
    """Asked of this boat, not settled, and nothing before it left open."""
    done, excused = settled_by_hand(log)
    if step in done or step in excused or asked(log, step) is not True:
        return False
    return all_settled(log, ORDER[:ORDER.index(step)])


def answered(log: Log, step: str) -> bool:
    """Are the measures in that the step asks for?"""
    if step != "look":
        return True
    said = answers(log)
    needed = ({"hose"} if dated(log) else set()) | {"fuel_vents", "place", "beam", "door"} | (set() if said.get("door") == "no" else {"door_height"})
    return needed <= set(said)


def watch_begins(log: Log) -> Moment | None:
    """From when the fire watch counts: the last flame out or trip; from a return whose clocks can no longer tell."""
    begins = None
    for event in log:
        if event.kind in ("flame_out", "tripped"):
            begins = event.at
        if event.kind in ("resumed", "handed_over") and begins is not None and age(begins, event.at) is None:
            begins = event.at
    return begins


def watch_unknown(log: Log, now: Moment) -> bool:
    begins = watch_begins(log)
    return "fire_watch" in owed(log) and not lit(log) and begins is not None and age(begins, now) is None


def watch_held(log: Log, now: Moment) -> bool:
    begins = watch_begins(log)
    held = age(begins, now) if begins else None
    return "fire_watch" not in owed(log) or (held is not None and held >= 60 * 60_000)


def good_evidence(log: Log, step: str, given: dict[str, Any]) -> bool:
    if step == "untape":
        off = given.get("removed")
        return set(given) == {"removed"} and type(off) is int and off == owed(log).get("taped_vents")
    if step == "hold" or (step == "tidy" and dated(log)):
        asked_for, watches = "watcher" if step == "hold" else "reader", ("joel", "pia")
        return set(given) == {asked_for} and given[asked_for] in watches and given[asked_for] != technicians(log)[-1]
    if step == "cut" and dated(log):  # twice the beam and 12 in, up to a whole foot: 15 ft, 18 ft, 21 ft; and a foot more
        least = {"2 m": 4.572, "2.5 m": 5.4864, "3 m": 6.4008}.get(answers(log).get("beam", ""), 99.0)
        return set(given) == {"cut"} and least <= float(str(given["cut"]).removesuffix(" m")) <= least + 0.3048
    return set(given) == {"tick"} and given["tick"] is True


# -- what must be refused ----------------------------------------------------------------------------------------


def takes(log: Log, action: act.Action, now: Moment) -> bool:
    """Whether this action must be taken (True) or refused (False)."""
    if trip_due(log, now) and not isinstance(action, (act.FlameOut, act.Withdraw, act.Look, act.Resume, act.AskStop)):
        return False
    where = status(log)
    if isinstance(action, act.Look):
        return True
    if isinstance(action, act.Start):
        return where == "new" and action.by in ("ana", "joel", "sam",
            "ivo") and bool(action.boat.strip() and action.job.strip())
    if isinstance(action, act.FlameOut):
        return burning(log)
    if where == "new":
        return False
    return _takes_started(log, action, now, where)


def _takes_started(log: Log, action: act.Action, now: Moment, where: str) -> bool:
    has_job = action.by == technicians(log)[-1]
    hands_on = has_job and where == "working" and not doubt(log, now)
    if isinstance(action, act.Withdraw):
        return action.safeguard in SAFEGUARDS and where in ("working", "paused", "stopping")
    if isinstance(action, act.Observe):
        return hands_on and action.safeguard in SAFEGUARDS and not tripped(log)
    if isinstance(action, act.Measure):
        if action.measure == "hose":
            return hands_on and calm(log) and dated(log) and len(action.value) == 10
        return hands_on and calm(log) and _right_answer(action.measure, action.value)
    if isinstance(action, act.Do):
        return _takes_do(log, action, now, where)
    if isinstance(action, act.Light):
        return (
            hands_on and calm(log) and action.step in ("weld", "shrink") and in_turn(log,
                action.step) and gate_open(log, now)
        )
    if isinstance(action, act.Excuse):
        known = action.step in ORDER and action.step not in CLEARED_BY and len(action.reason.strip()) >= 3
        if action.step == "tidy" and dated(log):  # the fire watch must confirm it
            return False
        all_in = action.step != "look" or (answered(log, "look") and hose_good(log, now))
        return hands_on and calm(log) and known and all_in and in_turn(log, action.step)
    if isinstance(action, act.Reset):
        return has_job and tripped(log) and not burning(log) and not doubt(log, now)
    if isinstance(action, act.Pause):
        return hands_on and calm(log)
    if isinstance(action, act.Resume):
        lost = where == "paused" or doubt(log, now) or watch_unknown(log, now)
        return has_job and where in ("working", "paused", "stopping") and lost
    return _takes_ending(log, action, now, where)


def _takes_do(log: Log, action: act.Do, now: Moment, where: str) -> bool:
    step = action.step
    ready = action.by == technicians(log)[-1] and not doubt(log, now) and calm(log)
    if step not in ORDER or not ready or not good_evidence(log, step, dict(action.evidence)):
        return False
    if step == "hold" and not watch_held(log, now):
        return False
    if where == "stopping":
        return CLEARED_BY.get(step) in owed(log)
    if step in ("weld", "shrink") and not heated(log, step):
        return False
    if step == "look" and not hose_good(log, now):
        return False
    return where == "working" and in_turn(log, step) and answered(log, step)


def _takes_ending(log: Log, action: act.Action, now: Moment, where: str) -> bool:
    has_job = action.by == technicians(log)[-1]
    if isinstance(action, act.HandOver):
        to = action.by in ("ana", "joel", "sam", "ivo") and not has_job
        return to and where in ("working", "paused", "stopping") and not burning(log)
    if isinstance(action, act.AskStop):
        return where in ("working", "paused") and len(action.reason.strip()) >= 3
    if isinstance(action, act.Tag):
        words = len(action.where.strip()) >= 3 and len(action.reason.strip()) >= 3
        open_debt = action.debt in owed(log) and action.debt != "open_cylinder"
        return has_job and not doubt(log, now) and calm(log) and where == "stopping" and open_debt and words
    if isinstance(action, act.Sign):
        drawn = sum(len(stroke) for stroke in action.strokes) >= 2 and bool(action.meaning.strip())
        if not (has_job and drawn and calm(log)) or doubt(log, now):
            return False
        if where == "stopping":
            return set(owed(log)) <= tagged(log)
        return where == "working" and not owed(log) and all_settled(log, ORDER)
    return _takes_review(log, action, where)


def _takes_review(log: Log, action: act.Action, where: str) -> bool:
    if where not in ("closed", "stopped") or action.by not in ("marta", "ivo") or action.by in technicians(log):
        return False
    if isinstance(action, act.ClearTag):
        return action.debt in owed(log) and len(action.found.strip()) >= 3
    if isinstance(action, act.SendBack):
        return bool(action.steps) and all(step in ORDER and len(why.strip()) >= 3 for step, why in action.steps)
    if isinstance(action, act.Accept):
        drawn = sum(len(stroke) for stroke in action.strokes) >= 2 and bool(action.meaning.strip())
        return drawn and not owed(log) and set(action.excused) == settled_by_hand(log)[1]
    raise AssertionError(action)


def _right_answer(measure: str, value: str) -> bool:
    if measure == "fuel_vents":
        return value in ("0", "1", "2", "3", "4", "5", "6")
    if measure == "place":
        return value in ("outdoors", "indoors")
    if measure == "door":
        return value in ("yes", "no")
    if measure == "beam":
        return value in ("2 m", "2.5 m", "3 m")
    return measure == "door_height" and value in ("1 m", "1.2 m")
