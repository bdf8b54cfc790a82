"""Reads stages and steps, and the evidence that a step asks for.

Rules kept here:
 1. Without `needs`, a step needs the step before it, across stages and parts; `needs: []` needs nothing.
 2. Evidence has the keys of its kind and no others; a step has one timer at most. A number or count has a range of its
    own, or is held against one measure or number.
 3. Limits stand in the policy: a timer may name one, never restate it.
Knows nothing of: parts (schema brings them in), what makes a procedure safe (step_rules, heat).
Called by: schema.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.floors import LIMITS
from coach.core.model import EVIDENCE_KINDS, SIGNAL_WORDS, Caution, Evidence, Option, Stage, Step
from coach.core.policy import ROLES
from coach.core.quantity import KINDS, Quantity
from coach.reader.draft import CONDITION, Draft
from coach.reader.faults import Phrase, Words, any_of, clip
from coach.reader.fields import Fields, check_id, unknown_word
from coach.reader.nodes import Node, Scalar
from coach.reader.step_rules import check_step
from coach.reader.values import read_options, read_range, refuse_key

STAGE_KEYS = ("stage", "title", "steps")
STEP_KEYS = (
    "step", "do", "why", "right", "wrong", "when", "needs", "asks", "uses", "shows", "heat", "no_flame", "proves",
    "opens", "clears", "hold", "least_seconds", "evidence", "cautions", "picture",
)
HELD_AGAINST = ("equals", "at_least", "at_most")
_EVIDENCE_KEYS: dict[str, tuple[str, ...]] = {
    "tick": (), "number": ("quantity", "from", "to", *HELD_AGAINST, "within"), "choice": ("options", "accept"),
    "count": ("from", "to", *HELD_AGAINST, "within"),
    "photo": (), "timer": ("minutes", "limit"), "second_person": ("role",),
}
EVIDENCE_KEYS = (
    "kind", "ask", "optional", "quantity", "from", "to", *HELD_AGAINST, "within", "options", "accept", "minutes", "limit", "role",
)
# The kernel keeps these words beside the evidence of every step.
_RESERVED = ("tick", "kept")
MINUTE_LIMITS = tuple(rule.id for rule in LIMITS.values() if rule.unit == "min")
MAX_MINUTES = 24 * 60
MAX_SECONDS = 600


def read_stage(draft: Draft, node: Node) -> None:
    """Reads one stage with its steps into the draft."""
    fields = Fields(node, draft.faults, "a stage", (*STAGE_KEYS, "use"))
    id = fields.id("stage", required=True)
    title = fields.text("title", required=True)
    name = id.text if id else ""
    if id:
        draft.claim("stage", id)
    if fields.usable and not fields.has("steps"):
        fields.missing("steps")
    steps = [_step(draft, name, item) for item in fields.list("steps", "steps")]
    draft.stages.append(Stage(name, title, tuple(step for step in steps if step), fields.place))


def _step(draft: Draft, stage: str, node: Node) -> Step | None:
    fields = Fields(node, draft.faults, "a step", STEP_KEYS)
    id = fields.id("step", required=True)
    name = id.text if id else ""
    by: Words = Phrase("the step '%(id)s'", {"id": clip(name)}) if name else Phrase("a step without id")
    new = id is not None and draft.claim("step", id)
    step = Step(
        name, stage, fields.text("do", required=True), fields.text("why", required=True),
        fields.text("right", required=True), fields.text("wrong", required=True), fields.place,
        needs=_needs(draft, fields, by),
        when=draft.formula(fields.scalar("when", due="a condition"), CONDITION),
        asks=draft.refer("measure", fields.words("asks", "measures"), by),
        uses=draft.refer("measure or number", fields.words("uses", "measures and numbers"), by),
        shows=draft.refer("measure or number", fields.words("shows", "measures and numbers"), by),
        heat=fields.flag("heat"), no_flame=fields.text("no_flame"),
        proves=draft.named(fields, "proves", "safeguard", by),
        opens=draft.refer("own debt", fields.words("opens", "own debts"), by),
        clears=draft.named(fields, "clears", "debt", by), hold=fields.flag("hold"),
        least_seconds=fields.whole("least_seconds", 0, MAX_SECONDS) or 0,
        evidence=_evidence_items(draft, fields, by), cautions=read_cautions(fields),
        picture=draft.named(fields, "picture", "", by),
    )
    check_step(draft, fields, step)
    if name:
        draft.last_step = name
    return step if new else None


def _needs(draft: Draft, fields: Fields, by: Words) -> tuple[str, ...]:
    """The steps that come first: those written, or else the step before this one in the order of reading."""
    if fields.has("needs"):
        return draft.refer("step", fields.words("needs", "ids of steps"), by)
    return (draft.last_step,) if draft.last_step else ()


def read_cautions(fields: Fields) -> tuple[Caution, ...]:
    """The cautions of a step or procedure, each with its signal word."""
    read = []
    for item in fields.list("cautions", "cautions, each with 'signal' and 'text'"):
        caution = Fields(item, fields.faults, "a caution", ("signal", "text"))
        read.append(Caution(caution.word("signal", SIGNAL_WORDS, required=True), caution.text("text", required=True)))
    return tuple(read)


def _evidence_items(draft: Draft, fields: Fields, by: Words) -> tuple[Evidence, ...]:
    items = []
    for id, node in fields.pairs("evidence", "evidence, each item under its id"):
        items.append(_evidence(draft, id, node, by))
        if id.text in _RESERVED:
            draft.faults.add(
                "P216", "evidence cannot have the id '%(id)s'", "the record keeps that word for itself",
                "choose another id",
                id.place, id=id.text,
            )
    timers = [item for item in items if item.kind == "timer"]
    for timer in timers[1:]:
        draft.faults.add(
            "P217", "a second timer in one step", "a step has one start, so one of the two would run wrong",
            "give the second timer a step of its own", timer.place,
        )
    return tuple(items)


def _evidence(draft: Draft, id: Scalar, node: Node, by: Words) -> Evidence:
    check_id(draft.faults, id)
    fields = Fields(node, draft.faults, "an item of evidence", EVIDENCE_KEYS)
    kind = fields.word("kind", EVIDENCE_KINDS, required=True)
    for key in EVIDENCE_KEYS[3:]:
        if kind and key not in _EVIDENCE_KEYS[kind]:
            refuse_key(fields, key, Phrase("evidence of kind %(kind)s", {"kind": kind}))
    ask = fields.text("ask", required=kind != "timer")
    optional = fields.flag("optional")
    if kind == "number":
        quantity = fields.word("quantity", tuple(KINDS), required=True)
        return _number(draft, fields, Evidence(id.text, kind, ask, id.place, quantity, optional=optional), by)
    if kind == "count":
        return _number(draft, fields, Evidence(id.text, kind, ask, id.place, optional=optional), by)
    if kind == "choice":
        options = read_options(fields)
        accept = _accept(fields, options)
        return Evidence(id.text, kind, ask, id.place, options=options, accept=accept, optional=optional)
    if kind == "timer":
        return _timer(fields, id, ask, optional)
    role = fields.word("role", ROLES)
    return Evidence(id.text, kind, ask, id.place, optional=optional, role=role)


def _number(draft: Draft, fields: Fields, item: Evidence, by: Words) -> Evidence:
    """A number or count: its range, or the measure or number that it is held against."""
    kind = item.quantity or ("count" if item.kind == "count" else "")
    held = [key for key in HELD_AGAINST if fields.has(key)]
    within = draft.quantity(fields.scalar("within"), kind) if kind else None
    if not held:
        refuse_key(fields, "within", Phrase("evidence without %(keys)s", {"keys": any_of([f"'{key}'" for key in HELD_AGAINST])}))
        low, high = read_range(draft, fields, kind, required=item.kind == "number") if kind else (None, None)
        return replace(item, low=low, high=high)
    for key in (*held[1:], "from", "to"):
        refuse_key(fields, key, Phrase("evidence with '%(key)s'", {"key": held[0]}))
    _check_within(fields, held[0], item.kind, within)
    named = draft.named(fields, held[0], f"{kind} to hold against" if kind else "", by)
    return replace(item, within=within, **{held[0]: named})  # type: ignore[arg-type]


def _check_within(fields: Fields, key: str, kind: str, within: Quantity | None) -> None:
    """A measured number equals nothing to the last digit; a count does, and no count is far from itself."""
    if key == "equals" and kind == "number" and fields.usable and not fields.has("within"):
        fields.missing("within")
    if key == "equals" and kind == "count":
        refuse_key(fields, "within", Phrase("a count with 'equals'"))
    if within is not None and within.value < 0:
        fields.wrong("within", fields.entries["within"][1], "a tolerance of zero or more")


def _accept(fields: Fields, options: tuple[Option, ...]) -> tuple[str, ...]:
    """The options that let the step be done; each must be one of the options."""
    known = tuple(option.id for option in options)
    words = fields.words("accept", "options", required=fields.has("accept"))
    for word in words:
        if word.text not in known:
            unknown_word(fields.faults, word, "'accept'", known)
    return tuple(word.text for word in words)


def _timer(fields: Fields, id: Scalar, ask: str, optional: bool) -> Evidence:
    minutes = fields.whole("minutes", 1, MAX_MINUTES)
    limit = fields.word("limit", MINUTE_LIMITS)
    if fields.usable and fields.has("minutes") == fields.has("limit"):
        fields.faults.add(
            "P218", "a timer needs either 'minutes' or 'limit'", "with none or both, nobody knows how long it runs",
            "write one of the two", fields.place,
        )
    return Evidence(id.text, "timer", ask, id.place, minutes=minutes or 0, limit=limit, optional=optional)
