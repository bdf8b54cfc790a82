"""Gathers the faults of one reading, so that an author sees all of them at once and in the order of the text.

Rules kept here:
 1. Nothing is thrown at the first fault; `stop_if_any` throws all of them together.
 2. After MAX_FAULTS the reading ends at once: a hostile file costs bounded time and a message of bounded length.
Knows nothing of: YAML, procedures.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from coach.core.problems import CoachError, Phrase, Place, Problem, ProcedureError, Words, all_of, any_of

__all__ = ["Faults", "Phrase", "Words", "all_of", "any_of", "clip"]
MAX_FAULTS = 100
MAX_SHOWN = 60  # characters of an author's word that a message repeats
MAX_SLOT = 400  # characters of anything in a message


def clip(text: str, most: int = MAX_SHOWN) -> str:
    """An author's word, short enough for a message and on one line."""
    line = " ".join(text[: 4 * most].split())
    return line if len(line) <= most else line[: most - 3] + "..."


@dataclass
class Faults:
    """The faults found so far. `error` is the class that is thrown with them."""

    error: type[CoachError] = ProcedureError
    found: list[Problem] = field(default_factory=list)

    def add(self, code: str, what: str, why: str, mend: str, place: Place | None, **slots: object) -> None:
        """Notes one fault. Raises the gathered faults when there are too many to be worth reading on."""
        shown = {name: clip(value, MAX_SLOT) if isinstance(value, str) else value for name, value in slots.items()}
        self.note(Problem(code, what, why, mend, place, shown))

    def note(self, problem: Problem, instead_of: Problem | None = None) -> None:
        """Notes a fault that stands already as a problem, or puts it in the place of another. Raises as `add` does."""
        if instead_of in self.found:
            self.found[self.found.index(instead_of)] = problem
            return
        if problem in self.found:
            return
        self.found.append(problem)
        if len(self.found) >= MAX_FAULTS:
            self.found.append(
                Problem(
                    "P100", "reading stopped after %(count)s faults", "a longer list would help nobody",
                    "mend these first, then load the file again", None, {"count": MAX_FAULTS},
                )
            )
            self.stop_if_any()

    def stop_if_any(self) -> None:
        """Raises every fault found so far, file by file and in the order of the lines; does nothing without one."""
        if self.found:
            raise self.error(*self._in_order())

    def _in_order(self) -> list[Problem]:
        files: dict[str, int] = {}
        for problem in self.found:
            if problem.place:
                files.setdefault(problem.place.file, len(files))

        def position(problem: Problem) -> tuple[int, int, int]:
            place = problem.place
            return (files[place.file], place.line, place.column) if place else (len(files), 0, 0)

        return sorted(self.found, key=position)
