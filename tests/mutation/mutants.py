"""Hand-made faults in the kernel: each replaces one piece of its source. They are never written into the repository.

Each must be caught by the prover on one whole job, or by the kernel's own tests. `old` must stand in the file exactly
once, or the fault is stale and the test says so.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Mutant:
    """file: within coach/core. by_tests: the prover, by its nature, cannot see it; the kernel's tests must.

    (Its clock is set back by an hour, which every row of the gate sees by itself; a step of seconds only the look sees.)
    """

    name: str
    file: str
    old: str
    new: str
    by_tests: bool = False


MUTANTS: tuple[Mutant, ...] = (
    # fold
    Mutant("resume keeps the proofs", "state.py", "    return changed(state, proofs={}, watch_from=watch, timers=timers)", "    return changed(state, watch_from=watch, timers=timers)"),
    Mutant("pause keeps the proofs", "state.py", "changed(state, status=PAUSED, proofs={})", "changed(state, status=PAUSED)"),
    Mutant("hand-over keeps the proofs", "state.py", "changed(_clocks_anew(state, event.at), technician=to", "changed(state, technician=to"),
    Mutant("a trip leaves the flame lit", "state.py", 'changed(state, flame="", proofs={}, trip=trip, watch_from=event.at)', "changed(state, proofs={}, trip=trip, watch_from=event.at)"),
    Mutant("a trip keeps the other proofs, and so does its reset", "state.py",
           'changed(state, flame="", proofs={}, trip=trip, watch_from=event.at)\n\n\ndef _trip_reset(rules: Rules, state: State, event: Event) -> State:\n    return changed(state, trip=None, proofs={}, stepped=event.at)',
           'changed(state, flame="", trip=trip, watch_from=event.at)\n\n\ndef _trip_reset(rules: Rules, state: State, event: Event) -> State:\n    return changed(state, trip=None, stepped=event.at)'),
    Mutant("a withdrawal keeps the proof", "state.py", "proofs=without(state.proofs, id), withdrawn=", "withdrawn="),
    Mutant("opening a debt does not bring back what undoes it", "state.py", "        state, debts={**state.debts, id: debt}, done=without(state.done, clearing),", "        state, debts={**state.debts, id: debt},"),
    Mutant("the smaller count of tapes is kept", "state.py", "OpenDebt(max(amount, old.amount), old.since)", "OpenDebt(min(amount, old.amount), old.since)"),
    Mutant("undoing keeps the proof", "state.py", "changed(state, debts=without(state.debts, id), proofs=without(state.proofs, drops))", "changed(state, debts=without(state.debts, id))"),
    Mutant("flame out does not begin the watch", "state.py", 'changed(state, flame="", trip=trip, watch_from=event.at)', 'changed(state, flame="", trip=trip)'),
    Mutant("a reopened step stays done", "state.py", "        state, done=without(state.done, step), excused=without(state.excused, step),\n        heated", "        state, excused=without(state.excused, step),\n        heated"),
    Mutant("a reopened step stays excused", "state.py", "        state, done=without(state.done, step), excused=without(state.excused, step),\n        heated", "        state, done=without(state.done, step),\n        heated"),
    Mutant("a bad statement settles the step", "state.py", 'step in state.done or event.data["met"] is not True', "step in state.done"),
    Mutant("lighting is not noted for the step", "state.py", "changed(state, flame=step, heated=state.heated | {step})", "changed(state, flame=step)"),
    Mutant("the beginning of a watch is never doubted", "state.py", "    if watch is not None and watch.age_at(now) is None:\n        watch = now\n", ""),
    # checks
    Mutant("a proof never gets too old", "checks.py", "    if left < 0:\n        return Status(", "    if left < -10**9:\n        return Status("),
    Mutant("a proof holds a minute longer", "checks.py", "    left = rules.minutes(id) * MINUTE - age", "    left = rules.minutes(id) * MINUTE + MINUTE - age"),
    Mutant("a new start of the program is not noticed", "checks.py", "    if age is None or proof.at.run != now.run:\n        return Status(id, CLOCK", "    if age is None:\n        return Status(id, CLOCK"),
    Mutant("clocks that disagree are believed", "checks.py", "    age = proof.at.age_at(now)\n", "    age = proof.at.age_at(now) or 0\n"),
    Mutant("the first row of the gate is not asked", "checks.py", "for id in rules.safeguards)\n\n\ndef gate_reasons", "for id in tuple(rules.safeguards)[1:])\n\n\ndef gate_reasons"),
    Mutant("the last row of the gate is not asked", "checks.py", "for id in rules.safeguards)\n\n\ndef gate_reasons", "for id in tuple(rules.safeguards)[:-1])\n\n\ndef gate_reasons"),
    Mutant("a hose past its day is let through", "checks.py", "    if last < day_of(now.wall).isoformat():", "    if False:"),
    Mutant("a hose without a day is let through", "checks.py", "    if not isinstance(last, str):\n        return (Reason(\"G035\"", "    if not isinstance(last, str):\n        return () and (Reason(\"G035\""),
    Mutant("a statement that was bad becomes good by a correction", "checks.py", "if not reasons and not proof.met:", "if False:"),
    Mutant("an open debt does not force its step", "checks.py", "    if step.clears:\n        return step.clears in state.debts or step.id in state.done\n", "    if step.clears and step.when is None:\n        return step.clears in state.debts or step.id in state.done\n"),
    Mutant("a doubt about the clock is passed over", "checks.py", "    if state.last.run != now.run or state.last.age_at(now) is None:", "    if False:"),
    Mutant("a trip stops nobody", "checks.py", "    if state.trip is not None and state.trip.out:\n        return (Reason(\"G012\"", "    if False:\n        return (Reason(\"G012\""),
    Mutant("lighting does not ask the gate", "checks.py", "    found += gate_reasons(rules, state, now)\n    return tuple(found)", "    return tuple(found)"),
    Mutant("lighting goes on while stopping", "checks.py", "    if state.status == WORKING:\n        return ()", "    if state.status in (WORKING, STOPPING):\n        return ()"),
    Mutant("lighting does not ask the order", "checks.py", "    found += order_reasons(rules, state, step)\n    found += asked_first(rules, state, step)\n    if state.faults", "    found += asked_first(rules, state, step)\n    if state.faults"),
    Mutant("the fire watch is over at once", "checks.py", "    if age < need * MINUTE:", "    if age < 0:"),
    Mutant("signing forgets the debts", "checks.py", "        if not (stopping and debt.tag):", "        if False:"),
    Mutant("a tag outlives its stop", "state.py", "replace(debt, tag=\"\") for id", "debt for id"),
    Mutant("signing forgets the steps", "checks.py", "        for id in open_steps(rules, state):\n            found.append", "        for id in ():\n            found.append"),
    Mutant("only the step right before counts", "checks.py", "        if settled(rules, state, id):\n            waiting.extend(reversed(rules.needs[id]))\n        else:\n            found.append(id)", "        if not settled(rules, state, id):\n            found.append(id)"),
    Mutant("a statement is taken during a trip", "checks.py", "    if state.trip is not None:\n        found += calm(state)\n    step = rules.proving", "    step = rules.proving"),
    Mutant("nobody may resume after a doubt", "session.py", "    if state.status != PAUSED and not clock_doubt(state, now) and not watch_lost(state, now):", "    if state.status != PAUSED:"),
    # decide
    Mutant("lighting opens no debt", "session_flame.py", 'for debt in OPENED_BY_FLAME]\n    return made', "for debt in ()]\n    return made"),
    Mutant("taping opens no debt", "session_flame.py", "    if debt and isinstance(amount, int) and amount > 0:", "    if debt and isinstance(amount, int) and amount > 99:"),
    Mutant("a withdrawal does not trip", "session_flame.py", "    return (event, *watch(rules, evolve(rules, state, event), now))", "    return (event,)"),
    Mutant("a bad statement does not trip", "session_flame.py", "    return (*made, *watch(rules, fold(rules, made, state), now))", "    return tuple(made)"),
    Mutant("the look does not see the gate", "session_flame.py", "    reasons = (*clock_doubt(state, now), *gate_reasons(rules, state, now))\n", "    reasons = clock_doubt(state, now)\n"),
    Mutant("the look does not see the clock", "session_flame.py", "    reasons = (*clock_doubt(state, now), *gate_reasons(rules, state, now))\n", "    reasons = gate_reasons(rules, state, now)\n", True),
    Mutant("a correction opens nothing again", "session.py", "    return (event, *_reopened(rules, evolve(rules, state, event), measure.id, measure.ask, action.by, now))", "    return (event,)"),
    Mutant("undoing is not noted", "session.py", "    if step.clears in state.debts:\n        amount", "    if False:\n        amount"),
    Mutant("flame out is refused when time has run out", "session.py", "_DURING_FLAME = (act.FlameOut, ", "_DURING_FLAME = ("),
    Mutant("a flame is put out only by who lit it", "session_flame.py", "    if not state.flame and not waiting:\n        return refuse(\"G021\"", "    if action.by != state.technician or (not state.flame and not waiting):\n        return refuse(\"G021\""),
    Mutant("a proof or an undoing can be excused", "model.py", "        return bool(self.proves or self.clears) or confirmed", "        return confirmed"),
    Mutant("what the fire watch confirms can be excused", "model.py", "        return bool(self.proves or self.clears) or confirmed", "        return bool(self.proves or self.clears)"),
    Mutant("no step is too grave to be excused", "checks.py", "    if step.guarded:\n        found.append(Reason(\"G057\"", "    if False:\n        found.append(Reason(\"G057\""),
    Mutant("a job starts without a proof of its procedure", "session.py", "    if not rules.proven and not action.practice:", "    if False:"),
    Mutant("the cylinder may stay open on a tag", "session_end.py", "    elif not rules.debts[debt].taggable:", "    elif False:"),
    Mutant("what was said to be lost can never be shown again", "session_flame.py", "    reasons = may_observe(rules, state, action.safeguard, action.by, now)", "    reasons = may_observe(rules, state, action.safeguard, action.by, now) + (unknown_safeguard(action.safeguard).reasons if action.safeguard in state.withdrawn else ())"),
    Mutant("a trip cannot be reset while stopping", "session_flame.py", "    return (*clock_doubt(state, now), *flame_gone(state), *holder(rules, state, by))", "    return (*clock_doubt(state, now), *working(state), *flame_gone(state), *holder(rules, state, by))"),
    Mutant("work goes on in a closed job", "checks.py", "    if state.status == WORKING:\n        return ()", "    if state.status in (WORKING, \"closed\"):\n        return ()"),
    Mutant("work is taken before the job is started", "checks.py", "    if state.status == WORKING:\n        return ()", "    if state.status in (WORKING, \"new\"):\n        return ()"),
    Mutant("work goes on in a stopped job", "checks.py", "    if state.status == WORKING:\n        return ()", "    if state.status in (WORKING, \"stopped\"):\n        return ()"),
    Mutant("reset lights again", "session_flame.py", '(Event("trip_reset", now, action.by, {}),)', '(Event("trip_reset", now, action.by, {}), Event("flame_lit", now, action.by, {"step": state.trip.step}))'),
    # gate
    Mutant("wind at its limit is let through", "gate.py", "        if value >= top:", "        if value > top:"),
    Mutant("the gust is not looked at", "gate.py", 'for name, value, limit in (("mean", mean, "wind_mean"), ("gust", gust, "wind_gust")):', 'for name, value, limit in (("mean", mean, "wind_mean"),):'),
    Mutant("a gust below the mean is accepted", "gate.py", "    if gust < mean:", "    if False:"),
    Mutant("the mean is checked against the gust's limit", "gate.py", '("mean", mean, "wind_mean"), ("gust"', '("mean", mean, "wind_gust"), ("gust"'),
    Mutant("the taped vents are not compared", "gate.py", "    if taped != facts.fuel_vents:", "    if False:"),
    Mutant("the markers are not compared", "gate.py", "    if markers != taped:", "    if False:"),
    Mutant("a detector at its limit is let through", "gate.py", "(reading is None or reading >= limit)", "(reading is None or reading > limit)"),
    Mutant("the detector the yard asks for may be missing", "gate.py", "    if given is None and policy.detector_required:", "    if False:"),
    Mutant("an extinguisher too far", "gate.py", '    elif distance > policy.limit("extinguisher_distance"):', '    elif distance > 2 * policy.limit("extinguisher_distance"):'),
    Mutant("an inspection too old", "gate.py", "    if days > limit:", "    if days > limit + 1:"),
    Mutant("an inspection in the future", "gate.py", "    if days < 0:", "    if days < -9:"),
    Mutant("ground cleared too little", "gate.py", "    if distance is None or distance < limit:", "    if distance is None or distance < limit - 1:"),
    Mutant("the fire watch holds the tool", "gate.py", "    if person == facts.holder:", "    if False:"),
    Mutant("an untrained fire watch", "gate.py", "    if not policy.has_role(person, FIRE_WATCH):", "    if False:"),
    Mutant("another person holds the tool", "gate.py", "    if known.id != facts.holder:", "    if False:"),
    Mutant("heat indoors without a permit", "gate.py", "    if not policy.indoor_permit or not policy.indoor_ventilation:", "    if False:"),
    Mutant("bubbles are passed over", "gate.py", '    if values.get("bubbles") is not False:', "    if False:"),
    # evidence and rules
    Mutant("fewer tapes off than on", "evidence.py", "    if isinstance(removed, bool) or removed != debt.amount:", "    if isinstance(removed, bool) or removed is None:"),
    Mutant("what rests on a number's measures is not seen", "rules.py", "                waiting.extend(self.procedure.numbers[name].formula.names)", "                pass"),
    Mutant("a step is not held to its own condition's measures", "rules.py", "            names.extend(step.when.names)", "            pass"),
)
