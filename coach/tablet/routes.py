"""Pages by name, so that pages lead to each other without importing each other in a ring.

Rules kept here:
 1. A page or act registers itself with `@route` under its own function's name; `to` finds it when it is needed.
 2. The app imports `screens.every` once, so that all are there before the first page is shown.
Knows nothing of: pages.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

Do = TypeVar("Do", bound=Callable[..., Any])

_KNOWN: dict[str, Callable[..., Any]] = {}


def route(function: Do) -> Do:
    """Register a page, or an act that leads to one."""
    _KNOWN[function.__name__] = function
    return function


def to(name: str) -> Callable[..., Any]:
    """The page or act of this name. Raises KeyError if its module was never imported."""
    return _KNOWN[name]
