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
import re
import unicodedata
from collections.abc import Mapping
from json.encoder import encode_basestring as _quoted  # quotes text with exactly RFC 8785's escapes
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
    try:
        return _text(value, 0).encode("utf-8")
    except (_NoForm, UnicodeEncodeError):
        raise RecordError(*_faults(value, "$", 0)) from None


def parse(raw: bytes) -> Any:
    """The value of canonical bytes; refuses every other spelling of the same value.

    Raises:
        RecordError R107: not JSON, or a map with a name twice, R108: JSON, but not in canonical form; R101 to R106 as
            in `canonical`.
    """
    try:
        text = raw.decode("utf-8")
        if _is_simple(raw):
            value = _QUICK.decode(text)
            if _SORTED.encode(value) == text:
                return value
    except (ValueError, RecursionError):  # the way below says what it is
        pass
    try:
        value = _DECODER.decode(raw.decode("utf-8"))
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


class _NoForm(Exception):
    """Raised inside this module: the value has no canonical form; `_faults` then says why, with paths."""


def _text(value: Any, depth: int) -> str:
    """The canonical text of a value; written for speed, as every act of a job passes through here."""
    kind = type(value)
    if kind is str:
        return _quoted(value)
    if kind is int:
        if -LARGEST <= value <= LARGEST:
            return str(value)
        raise _NoForm
    if value is None:
        return "null"
    if kind is bool:
        return "true" if value else "false"
    if depth >= DEEPEST:
        raise _NoForm
    if kind is dict or isinstance(value, Mapping):
        return "{" + ",".join([_quoted(key) + ":" + _text(value[key], depth + 1) for key in _sorted_keys(value)]) + "}"
    if kind is list or kind is tuple:
        return "[" + ",".join([_text(item, depth + 1) for item in value]) + "]"
    raise _NoForm


def _sorted_keys(value: Mapping[Any, Any]) -> list[str]:
    """Names in the order of RFC 8785 section 3.2.3: by UTF-16 code units; for ASCII that is the order of Python."""
    try:
        is_plain = "".join(value).isascii()
    except TypeError:
        raise _NoForm from None
    return sorted(value, key=None if is_plain else _utf16)


def _faults(value: Any, path: str, depth: int) -> list[Problem]:
    """Every reason why a value has no canonical form."""
    kind = type(value)
    if kind is str:
        return _text_faults(value, path)
    if value is None or kind is bool:
        return []
    if kind is int:
        return [] if -LARGEST <= value <= LARGEST else [_too_large(value, path)]
    if isinstance(value, Mapping) or kind is list or kind is tuple:
        if depth >= DEEPEST:
            return [_too_deep(path)]
        items = value.items() if isinstance(value, Mapping) else enumerate(value)
        found: list[Problem] = []
        for name, item in items:
            if not isinstance(value, Mapping):
                found += _faults(item, f"{path}[{name}]", depth + 1)
            elif type(name) is not str:
                found.append(_wrong_key(name, path))
            else:
                found += _text_faults(name, f"{path}.{name!r}") or _faults(item, f"{path}.{name}", depth + 1)
        return found
    return [_wrong_type(value, path)]


def _utf16(key: str) -> bytes:
    """Sort key of RFC 8785 section 3.2.3: code units, so that a character above U+FFFF comes before U+E000."""
    return key.encode("utf-16-be")


def _text_faults(text: str, path: str) -> list[Problem]:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as fault:
        slots = {"path": path, "code": f"{ord(text[fault.start]):04X}"}
        what = "the text at %(path)s holds half a character (U+%(code)s)"
        return [Problem("R103", what, _WHY_ONE_FORM, "type this text again", slots=slots)]
    return []


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ValueError("a map holds one name twice")
    return made


def _no_constant(word: str) -> None:
    raise ValueError(f"{word} is no number")


def _no_fraction(text: str) -> None:
    raise ValueError(f"{text} is a fraction")


def _small(text: str) -> int:
    value = int(text) if len(text) <= 17 else LARGEST + 1
    if -LARGEST <= value <= LARGEST:
        return value
    raise ValueError(f"{text[:20]} is too large")


def _is_simple(raw: bytes) -> bool:
    """Whether the standard library's sorted JSON is the canonical form of what these bytes say, if it is one at all.

    So it is without fractions and large numbers (refused at reading), nesting near the limit, and characters from
    U+E000 on, whose order by code points is not that of UTF-16. A map that holds a name twice, or any other second
    spelling, does not come out as it went in.
    """
    if raw.count(b"{") + raw.count(b"[") > DEEPEST:
        return False
    return raw.isascii() or _HIGH.search(raw) is None


_HIGH = re.compile(rb"[\xee-\xff]")
_QUICK = json.JSONDecoder(parse_float=_no_fraction, parse_int=_small, parse_constant=_no_constant)
_SORTED = json.JSONEncoder(
    ensure_ascii=False, check_circular=False, allow_nan=False, sort_keys=True, separators=(",", ":")
)
_DECODER = json.JSONDecoder(object_pairs_hook=_once, parse_constant=_no_constant)


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
