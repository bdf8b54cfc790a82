"""When the program's memory is tidied: never while it starts, and then never through what stays for good.

Rules kept here:
 1. From `hold` to `set_aside` nothing is looked through: what a start makes stays, and looking for litter in it costs
    a tenth of the start.
 2. `set_aside` puts what is loaded apart for good, so that later rounds look only through what pages made since. The
    first page is among it: one page's widgets are kept for as long as the app runs.
 3. `give_back` undoes both; the process may outlive the app.
Knows nothing of: pages.
"""

from __future__ import annotations

import gc


def hold() -> None:
    """Look for no litter until the app is loaded."""
    gc.disable()


def set_aside() -> None:
    """All is loaded: from now on look for litter again, but not in what is there now and is none."""
    gc.collect()
    gc.freeze()
    gc.enable()


def give_back() -> None:
    """The app has ended."""
    gc.unfreeze()
    gc.enable()
