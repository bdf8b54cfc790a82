"""Pages by name, so that pages lead to each other without importing each other in a ring.

Rules kept here:
 1. A page or act registers itself with `@route` under its own function's name; `to` finds it when it is needed.
 2. All pages are loaded when the first one is asked for that is not there yet; the app does it soon after its first
    page is shown, so that this page comes sooner.
Knows nothing of: pages.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from typing import Any, TypeVar

Do = TypeVar("Do", bound=Callable[..., Any])

_KNOWN: dict[str, Callable[..., Any]] = {}


def route(function: Do) -> Do:
    """Register a page, or an act that leads to one."""
    _KNOWN[function.__name__] = function
    return function


def to(name: str) -> Callable[..., Any]:
    """The page or act of this name. Raises KeyError if no page has it."""
    if name not in _KNOWN:
        load_all()
    return _KNOWN[name]


def load_all() -> None:
    """Import every module of pages."""
    importlib.import_module("coach.tablet.screens.every")
