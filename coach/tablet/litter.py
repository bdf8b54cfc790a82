"""When the program's memory is tidied: never while it starts, and then never through what stays for good.

Rules kept here:
 1. From `hold` on nothing is looked through: what a start makes stays, and looking for litter in it costs time.
 2. `sweep` looks once, before the rest is loaded; `set_aside` puts what is loaded apart for good, so that later rounds
    look only through what pages made since. The first page is among it: it is kept for as long as the app runs.
 3. `give_back` undoes both; the process may outlive the app.
Knows nothing of: pages.
"""

from __future__ import annotations

import gc


def hold() -> None:
    """Look for no litter until the app is loaded."""
    gc.disable()


def sweep() -> None:
    """Look once: what pages that are gone already have left must not be set aside."""
    gc.collect()


def set_aside() -> None:
    """All is loaded: from now on look for litter again, but not in what is there now."""
    gc.freeze()
    gc.enable()


def give_back() -> None:
    """The app has ended."""
    gc.unfreeze()
    gc.enable()
