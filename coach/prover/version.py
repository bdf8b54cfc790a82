"""Which kernel a proof is about: a hash over the source of everything in coach.core, and of the prover itself.

Rules kept here:
 1. Any change in the kernel's or the prover's source, and nothing else, makes another version.
 2. Where the source is not installed (a package of compiled files only), the compiled code is hashed in its place: a
    proof made there is good there.
Knows nothing of: proofs, caches.
"""

from __future__ import annotations

import hashlib
import marshal
import pkgutil
from functools import cache
from importlib import import_module
from importlib.util import find_spec

_PACKAGES = ("coach.core", "coach.prover")


@cache
def kernel_version() -> str:
    """The version of the kernel in this program, as 64 hexadecimal digits."""
    digest = hashlib.sha256()
    for name in sorted(_modules()):
        digest.update(name.encode())
        digest.update(b"\0")
        digest.update(_content(name))
        digest.update(b"\0")
    return digest.hexdigest()


def _modules() -> list[str]:
    found = []
    for package in _PACKAGES:
        paths = import_module(package).__path__
        found += [package, *(info.name for info in pkgutil.walk_packages(paths, f"{package}."))]
    return found


def _content(name: str) -> bytes:
    spec = find_spec(name)
    loader = spec.loader if spec is not None else None
    source = loader.get_source(name) if loader is not None and hasattr(loader, "get_source") else None
    if source is not None:
        return str(source).encode()
    code = loader.get_code(name) if loader is not None and hasattr(loader, "get_code") else None
    return marshal.dumps(code)
