"""Says in plain words what broke the YAML, whichever of the library's two scanners noticed it.

Rules kept here:
 1. One row for each slip that authors make; the library's own words are shown only where no row fits.
Knows nothing of: trees, procedures.
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.problems import Place
from coach.reader.faults import Faults, clip
from coach.reader.text import Source

_WHY = "from here on, nobody can tell which value belongs to which key"


@dataclass(frozen=True)
class _Slip:
    """One known slip. context, problem: parts of the library's words; opens: point at where the construct began."""

    context: str
    problem: tuple[str, ...]
    what: str
    mend: str
    opens: bool = False
    backslash: bool = False


_SLIPS = (
    _Slip("", ("mapping values are not allowed",), "a colon with a space after it stands where no value can begin",
          "put the whole text in quotes, or check the indentation of this line and the one above"),
    _Slip("", ("sequence entries are not allowed",), "a list begins in the middle of a line",
          "begin the list on a line of its own below its key"),
    _Slip("", ("cannot start any token",), "a text begins with a character that YAML keeps for itself",
          "put the whole text in quotes"),
    _Slip("quoted scalar", ("end of stream", "document separator"), "a quote is opened here and never closed",
          "close the quote", opens=True),
    _Slip("quoted scalar", ("escape",), "a backslash stands before something that it cannot escape",
          "write two backslashes, or use single quotes", backslash=True),
    _Slip("", ("chr()",), "a backslash stands before something that it cannot escape",
          "write two backslashes, or use single quotes"),
    _Slip("", ("nesting depth",), "values are nested far too deeply", "take out the brackets that nobody needs"),
    _Slip("flow sequence", (), "the list that opens here with '[' is not closed, or a comma is missing in it",
          "close it with ']', or set the comma", opens=True),
    _Slip("flow mapping", (), "the mapping that opens here with '{' is not closed, or a comma is missing in it",
          "close it with '}', or set the comma", opens=True),
    _Slip("flow node", (), "a value is missing here", "write the value, or delete the comma"),
    _Slip("simple key", ("expected ':'",), "a key without its colon",
          "write a colon and a space after the key", opens=True),
    _Slip("block collection", (), "this line does not fit the list above it",
          "indent it like its neighbours, with '- ' before an item"),
    _Slip("block mapping", (), "this line does not fit the keys above it",
          "indent it like its neighbours; a text that goes on after a closing quote belongs inside it"),
    _Slip("block node", (), "a bracket closes that was never opened", "delete it, or put the text in quotes"),
    _Slip("block scalar", (), "the mark of a text over several lines is not understood",
          "write only '|' or '>' after the colon, and the text indented on the lines below"),
    _Slip("directive", (), "a line begins with %, which YAML takes as a directive",
          "put the text in quotes, or delete the line"),
    _Slip("alias", (), "a text begins with '*', which YAML takes as an alias", "put the whole text in quotes"),
    _Slip("anchor", (), "a text begins with '&', which YAML takes as an anchor", "put the whole text in quotes"),
    _Slip("tag", (), "a text begins with '!', which YAML takes as a tag", "put the whole text in quotes"),
    _Slip("", ("document start",), "this line stands further left than the first line of the file",
          "begin every outermost key in the first column"),
)


def note_syntax(error: Exception, source: Source, faults: Faults) -> None:
    """Notes why the YAML library gave up, in our words and with our place."""
    context = str(getattr(error, "context", None) or "")
    problem = str(getattr(error, "problem", None) or error)
    if "flow node" in context and _is_at_end(error, source):
        faults.add("P120", "the file ends inside a bracket", _WHY, "close the bracket with ']' or '}'",
                   _place(error, source))
        return
    for slip in _SLIPS:
        if slip.context in context and (not slip.problem or any(part in problem for part in slip.problem)):
            place = _place(error, source, slip.opens, slip.backslash)
            faults.add("P120", slip.what, _WHY, slip.mend, place)
            return
    faults.add(
        "P120", "this is not YAML: %(problem)s", _WHY,
        "check quotes, brackets and indentation here and in the line above",
        _place(error, source), problem=clip(problem),
    )


def _is_at_end(error: Exception, source: Source) -> bool:
    """Whether only blank lines follow the mark."""
    mark = getattr(error, "problem_mark", None)
    return mark is not None and not any(line.strip() for line in source.lines[mark.line + (mark.column > 0):])


def _place(error: Exception, source: Source, opens: bool = False, backslash: bool = False) -> Place:
    """Where the slip is. backslash: the two scanners point before and behind it, we point at it."""
    mark = getattr(error, "problem_mark", None)
    if opens and getattr(error, "context_mark", None) is not None:
        mark = getattr(error, "context_mark", None)
    if mark is None:
        return Place(source.file)
    column = mark.column
    if backslash and mark.line < len(source.lines):
        column = max(source.lines[mark.line].rfind("\\", 0, column + 1), 0)
    return source.place(mark.line, column)
