"""What mends a file or folder that the device refuses, by the cause that the device gives: each cause has its own cure.

Rules kept here:
 1. A cure is for its cause alone: nobody is told to free some space where a right is missing.
Knows nothing of: which file it was, what was to be done with it.
Called by: reader, record.  Proved by: tests/record/test_disk_cures.py.
"""

from __future__ import annotations

import errno

HINTS = {
    "full": "free some space there, then do it again",
    "right": "give the app the right to write there, then do it again",
    "protected": "take the write protection off, or use another disk or stick, then do it again",
    "gone": "see that the disk or stick is in and the folder is there, then do it again",
    "in the way": "move away what stands in the folder's place, or give another folder, then do it again",
    "path": "correct the path",
    "other": "check the disk, or use another, then do it again",
    "read right": "give the app the right to read it, then do it again",
    "read other": "take it from a copy or from where it was written, then do it again",
}
# The names of POSIX.1-2017, <errno.h>; those that a system lacks are left out.
_CAUSES: dict[str, tuple[str, ...]] = {
    "full": ("ENOSPC", "EDQUOT", "EFBIG"),
    "right": ("EACCES", "EPERM"),
    "protected": ("EROFS",),
    "gone": ("ENOENT", "ENODEV", "ENXIO"),
    "in the way": ("ENOTDIR", "EEXIST", "EISDIR"),
    "path": ("ENAMETOOLONG", "EINVAL", "ELOOP"),
}
_CAUSE_OF = {
    getattr(errno, name): cause for cause, names in _CAUSES.items() for name in names if hasattr(errno, name)
}


def write_cure(fault: OSError) -> str:
    """What mends a folder or file that was not written, in English."""
    return HINTS[_CAUSE_OF.get(fault.errno or 0, "other")]


def read_cure(fault: Exception) -> str:
    """What mends a file that was not read, in English; any error but one of the disk is one of the path's writing."""
    if not isinstance(fault, OSError):
        return HINTS["path"]
    cause = _CAUSE_OF.get(fault.errno or 0, "other")
    own = {"right": "read right", "gone": "path", "in the way": "path", "path": "path"}
    return HINTS[own.get(cause, "read other")]
