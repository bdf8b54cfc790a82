"""Reads what a procedure asks and computes: measures, numbers and checks; and the ranges and options they share.

Rules kept here:
 1. A measure that is a quantity has both ends of its plausible range; a choice has two options or more.
 2. A number is rounded in its own dimension.
 3. A last good day (kind expiry) names the safeguard that rests on it and is asked always. A check may be made strict,
    never loose.
Knows nothing of: stages, steps, parts.
Called by: schema; steps uses read_range and read_options for evidence.
"""

from __future__ import annotations

from coach.core.formula import KEYWORDS
from coach.core.model import EXPIRY, MEASURE_KINDS_EXTRA, Check, Measure, Number, Option
from coach.core.problems import QuantityError
from coach.core.quantity import KINDS, UNITS, Quantity, Rounding, parse_rounding
from coach.core.units import KIND_PHRASES
from coach.reader.draft import CONDITION, Draft
from coach.reader.faults import Phrase, Words, clip
from coach.reader.fields import NAME, Fields, check_id
from coach.reader.nodes import Mapping, Node, Scalar, Unusable

MEASURE_KEYS = ("ask", "kind", "from", "to", "options", "how", "picture", "when", "safeguard")
NUMBER_KEYS = ("title", "formula", "kind", "round", "why")
CHECK_KEYS = ("holds", "says", "measures", "strict")
MEASURE_KINDS = (*KINDS, *MEASURE_KINDS_EXTRA)


def read_values(draft: Draft, fields: Fields) -> None:
    """Reads the measures, numbers and checks of a procedure or part."""
    for id, node in fields.pairs("measures", "measures, each under its id"):
        _measure(draft, id, node)
    for id, node in fields.pairs("numbers", "numbers, each under its id"):
        _number(draft, id, node)
    for id, node in fields.pairs("checks", "checks, each under its id"):
        _check(draft, id, node)


def _name(draft: Draft, id: Scalar) -> bool:
    """Whether a measure or number may have this name; what is wrong is noted."""
    new = draft.claim("measure or number", id)
    if check_id(draft.faults, id, NAME) and (id.text in KEYWORDS or id.text in UNITS):
        draft.faults.add(
            "P210", "'%(id)s' means something else in formulas", "a formula could not tell the two apart",
            "choose another id", id.place, id=id.text,
        )
    return new


def _measure(draft: Draft, id: Scalar, node: Node) -> None:
    fields = Fields(node, draft.faults, "a measure", MEASURE_KEYS)
    kind = fields.word("kind", MEASURE_KINDS, required=True)
    _refuse_foreign(fields, kind)
    low, high = read_range(draft, fields, kind, required=True) if kind in KINDS else (None, None)
    options = read_options(fields) if kind == "choice" else ()
    guarded = draft.named(fields, "safeguard", "safeguard", Phrase("the measure '%(id)s'", {"id": clip(id.text)}), apart=True)
    if kind == EXPIRY:
        _expiry(fields)
    measure = Measure(
        id.text, fields.text("ask", required=True), kind, id.place, fields.text("how"), low, high, options,
        draft.formula(fields.scalar("when", due="a condition"), CONDITION), _picture(fields),
        guarded,
    )
    if _name(draft, id):
        draft.measures[id.text] = measure


def _expiry(fields: Fields) -> None:
    """What a last good day must have, and what would let a boat pass it by."""
    if fields.usable and not fields.has("safeguard"):
        fields.missing("safeguard")
    if fields.has("when"):
        fields.faults.add(
            "P309", "a last good day with 'when'", "a boat that is not asked would never be held back by it", "take 'when' out",
            fields.entries["when"][0].place,
        )


def _picture(fields: Fields) -> str:
    picture = fields.id("picture")
    return picture.text if picture else ""


def _refuse_foreign(fields: Fields, kind: str) -> None:
    """Notes keys that only another kind of measure has."""
    foreign = {
        "choice": ("from", "to", "safeguard"), "yes_no": ("from", "to", "options", "safeguard"), EXPIRY: ("from", "to", "options"),
    }.get(kind, ("options", "safeguard") if kind else ())
    for key in foreign:
        refuse_key(fields, key, Phrase("a measure of kind %(kind)s", {"kind": kind}))


def refuse_key(fields: Fields, key: str, about: Words) -> None:
    """Notes a key that exists in the format, but not beside this kind."""
    if fields.has(key):
        fields.faults.add(
            "P211", "%(about)s has no '%(key)s'", "it would be passed over", "delete it, or choose another kind",
            fields.entries[key][0].place, about=about, key=key,
        )


def read_range(draft: Draft, fields: Fields, kind: str, required: bool) -> tuple[Quantity | None, Quantity | None]:
    """The ends `from` and `to` of a plausible range, from the smaller to the larger."""
    due = KIND_PHRASES.get(kind, kind)
    low = draft.quantity(fields.scalar("from", required, due), kind)
    high = draft.quantity(fields.scalar("to", required, due), kind)
    if low is not None and high is not None and low > high:
        draft.faults.add(
            "P212", "the range runs from %(low)s down to %(high)s", "no value could ever lie in it",
            "swap 'from' and 'to'",
            fields.place_of("from"), low=clip(_text(fields, "from")), high=clip(_text(fields, "to")),
        )
    return low, high


def _text(fields: Fields, key: str) -> str:
    node = fields.node(key)
    return node.text if isinstance(node, Scalar) else ""


def read_options(fields: Fields) -> tuple[Option, ...]:
    """The options of a choice: id and label, two or more."""
    if not fields.has("options"):
        if fields.usable:
            fields.missing("options")
        return ()
    options = []
    pairs = fields.pairs("options", "options, each id with its label")
    for id, node in pairs:
        check_id(fields.faults, id, NAME)
        if isinstance(node, Scalar) and node.text.strip():
            options.append(Option(id.text, " ".join(node.text.split())))
        elif not isinstance(node, Unusable):
            fields.wrong("options", node, "a label after each id")
    if len(pairs) < 2 and isinstance(fields.node("options"), Mapping):
        fields.faults.add(
            "P213", "a choice with fewer than two options", "there is nothing to choose",
            "write two options, or take the choice out",
            fields.place_of("options"),
        )
    return tuple(options)


def _number(draft: Draft, id: Scalar, node: Node) -> None:
    fields = Fields(node, draft.faults, "a number", NUMBER_KEYS)
    kind = fields.word("kind", tuple(KINDS), required=True)
    formula = draft.formula(fields.scalar("formula", required=True, due="a formula"), kind)
    title, why = fields.text("title", required=True), fields.text("why", required=True)
    written = fields.scalar("round", due="such as 'up to 1 ft'")
    rounding = _rounding(draft, written, kind)
    if not _name(draft, id):
        return
    if formula is None:
        draft.broken.add(id.text)
    else:
        text = written.text if written else ""
        draft.numbers[id.text] = Number(id.text, title, formula, kind, id.place, rounding, text, why)


def _rounding(draft: Draft, written: Scalar | None, kind: str) -> Rounding | None:
    """How a number is rounded; a step of another dimension than the number's is noted."""
    if written is None:
        return None
    try:
        rounding = parse_rounding(written.text)
    except QuantityError as error:
        for problem in error.problems:
            draft.faults.note(problem.at(written.place))
        return None
    if kind and rounding.step.dimension != KINDS[kind]:
        draft.faults.add(
            "P214", "the rounding step is %(found)s, expected %(due)s", "a number is rounded to steps of its own kind",
            "write a step that is %(due)s, or correct the kind", written.place,
            found=rounding.step.dimension.phrase, due=KINDS[kind].phrase,
        )
        return None
    return rounding


def _check(draft: Draft, id: Scalar, node: Node) -> None:
    fields = Fields(node, draft.faults, "a check", CHECK_KEYS)
    check_id(draft.faults, id)
    holds = draft.formula(fields.scalar("holds", required=True, due="a condition"), CONDITION)
    says = fields.text("says", required=True)
    words = fields.words("measures", "measures", required=True)
    measures = draft.refer("measure", words, Phrase("the check '%(id)s'", {"id": clip(id.text)}))
    strict = fields.flag("strict")
    if _text(fields, "strict") == "false":
        fields.faults.add(
            "P310", "a check with 'strict: false'",
            "a check may be made strict, never loose: for what the gate relies on, no reason is taken", "write 'strict: true', or delete it",
            fields.place_of("strict"),
        )
    if draft.claim("check", id) and holds is not None:
        draft.checks.append(Check(id.text, holds, says, measures, id.place, strict))

