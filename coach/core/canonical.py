"""The one byte form of a record: JSON as RFC 8785 orders it, over text, whole numbers, yes/no, none, lists and maps.

Rules kept here:
 1. One value has one byte form, and one byte form one value: keys sorted by UTF-16 code units, no white space,
    the shortest escapes. No fractions: they have more than one text. Whole numbers stay inside +-(2^53 - 1), which
    every JSON reader keeps exactly.
 2. What cannot be written is refused with its path, all faults at once; nothing is rounded, dropped or repaired.
 3. Text is kept as it is. `composed` turns text into Unicode's composed form where it enters the program, because
    two spellings of one name would be two names here.
Knows nothing of: events, files. Source: RFC 8785 sections 3.2.1 to 3.2.4; its samples are in test_canonical.py.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from typing import Any

from coach.core.problems import Problem, RecordError

LARGEST = 2**53 - 1  # RFC 8785 section 3.2.2.3 by way of RFC 7493 section 2.2
DEEPEST = 32  # lists and maps inside each other; an event needs five

_WHY_ONE_FORM = "a record is hashed and signed over its one byte form, and this value has none"


def canonical(value: object) -> bytes:
    """The canonical bytes of a value.

    Args:
        value: None, yes/no, whole numbers within +-(2^53 - 1), text without lone surrogates, lists and tuples, maps
            with text keys; nested at most 32 deep.

    Returns:
        UTF-8 without a byte order mark; equal values give equal bytes.

    Raises:
        RecordError R101: fraction, R102: number too large, R103: text that is not Unicode, R104: other type,
            R105: key that is not text, R106: nested too deeply. All faults are listed.
    """
    faults: list[Problem] = []
    ready = _ordered(value, "$", 0, faults)
    if faults:
        raise RecordError(*faults)
    return _ENCODER.encode(ready).encode("utf-8")


def parse(raw: bytes) -> Any:
    """The value of canonical bytes; refuses every other spelling of the same value.

    Raises:
        RecordError R107: not JSON, or a map with a name twice, R108: JSON, but not in canonical form; R101 to R106 as
            in `canonical`.
    """
    try:
        value = json.loads(raw.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_constant)
    except RecursionError:
        raise RecordError(_too_deep("$")) from None
    except ValueError as fault:  # UnicodeDecodeError and JSONDecodeError are ValueErrors
        raise RecordError(_not_json(str(fault))) from None
    if canonical(value) != raw:
        raise RecordError(
            Problem(
                "R108",
                "the bytes are not in canonical form",
                "the same value written in another way has another hash",
                "keep the file as it was exported; editors change white space and order",
            )
        )
    return value


def composed(value: Any) -> Any:
    """The value with every text in Unicode's composed form (NFC): for text at the moment it enters the program."""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, Mapping):
        return {composed(key): composed(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [composed(item) for item in value]
    return value


def text_hash(text: str) -> str:
    """SHA-256 of a text's UTF-8 bytes, 64 lower-case hex digits: names a procedure's or a policy's exact text."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


# The C encoder of the standard library writes exactly RFC 8785's escapes; the order of keys is ours (_ordered).
_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _ordered(value: Any, path: str, depth: int, faults: list[Problem]) -> Any:
    """The value with its maps in canonical order; faults are added to the list and None stands in."""
    kind = type(value)
    if kind is str:
        if not value.isascii():
            _check_text(value, path, faults)
        return value
    if value is None or kind is bool:
        return value
    if kind is int:
        if not -LARGEST <= value <= LARGEST:
            faults.append(_too_large(value, path))
        return value
    if depth >= DEEPEST and isinstance(value, (Mapping, list, tuple)):
        faults.append(_too_deep(path))
        return None
    if isinstance(value, Mapping):
        return _ordered_map(value, path, depth, faults)
    if isinstance(value, (list, tuple)):
        return [_ordered(item, f"{path}[{place}]", depth + 1, faults) for place, item in enumerate(value)]
    faults.append(_wrong_type(value, path))
    return None


def _ordered_map(value: Mapping[Any, Any], path: str, depth: int, faults: list[Problem]) -> dict[str, Any]:
    keys = list(value)
    for key in keys:
        if type(key) is not str:
            faults.append(_wrong_key(key, path))
            return {}
        if not key.isascii() and not _check_text(key, f"{path}.{key!r}", faults):
            return {}
    keys.sort(key=None if all(map(str.isascii, keys)) else _utf16)
    return {key: _ordered(value[key], f"{path}.{key}", depth + 1, faults) for key in keys}


def _utf16(key: str) -> bytes:
    """Sort key of RFC 8785 section 3.2.3: code units, so that a character above U+FFFF comes before U+E000."""
    return key.encode("utf-16-be")


def _check_text(text: str, path: str, faults: list[Problem]) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as fault:
        faults.append(
            Problem(
                "R103",
                "the text at %(path)s holds half a character (U+%(code)s)",
                _WHY_ONE_FORM,
                "type this text again",
                slots={"path": path, "code": f"{ord(text[fault.start]):04X}"},
            )
        )
        return False
    return True


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ValueError("a map holds one name twice")
    return made


def _no_constant(word: str) -> None:
    raise ValueError(f"{word} is no number")


def _not_json(detail: str) -> Problem:
    return Problem(
        "R107",
        "the bytes are not JSON (%(detail)s)",
        "an entry that cannot be read says nothing",
        "fetch the file again from the tablet that wrote it",
        slots={"detail": detail},
    )


def _too_large(value: int, path: str) -> Problem:
    size = f"{value.bit_length()} bits" if value.bit_length() > 200 else str(value)
    return Problem(
        "R102",
        "the number at %(path)s is too large (%(size)s)",
        "beyond 2^53 - 1 programs that read JSON round",
        "write it as text",
        slots={"path": path, "size": size},
    )


def _too_deep(path: str) -> Problem:
    return Problem(
        "R106",
        "lists or maps are nested more than %(deepest)d deep at %(path)s",
        "no event is so deep; a file that is can only be meant to break its reader",
        "refuse this file",
        slots={"deepest": DEEPEST, "path": path},
    )


def _wrong_type(value: object, path: str) -> Problem:
    if isinstance(value, float):
        return Problem(
            "R101",
            "the value at %(path)s is a fraction (%(value)r)",
            _WHY_ONE_FORM,
            "write it as text with its unit, such as '1.68 m'",
            slots={"path": path, "value": value},
        )
    return Problem(
        "R104",
        "the value at %(path)s is a %(type)s",
        _WHY_ONE_FORM,
        "use text, whole numbers, yes/no, lists and maps",
        slots={"path": path, "type": type(value).__name__},
    )


def _wrong_key(key: object, path: str) -> Problem:
    return Problem(
        "R105",
        "a name in the map at %(path)s is not text (%(key)r)",
        _WHY_ONE_FORM,
        "use text as names",
        slots={"path": path, "key": key},
    )
