"""Whatever the bytes are: a procedure, or a ProcedureError; never anything else, and in bounded time."""

from __future__ import annotations

from datetime import timedelta

import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coach.core.model import Procedure
from coach.core.problems import ProcedureError
from coach.reader import nodes
from coach.reader.faults import Faults
from coach.reader.schema import read_procedure
from tests.reader.case_text import CASES, find_part
from tests.reader.test_nodes import plain

GATE = (CASES / "parts" / "gate.yaml").read_text(encoding="utf-8")
VALID = f"""procedure: a
version: 1
title: A case
purpose: A case.
cautions: [{{signal: DANGER, text: Fire.}}]
numbers:
  half: {{title: Half, formula: "length / 2 + 1 ft", kind: length, round: up to 1 in, why: Half.}}
checks:
  sane: {{holds: length > 2 ft and place == outdoors, says: Measure again., measures: [length]}}
safeguards:
  tarp: {{name: Tarp, ask: "Wet?", why: It burns., mend: Wet it., minutes: 60}}
debts:
  plugs: {{name: Plugs, why: Rain., undo: Take them out.}}
{GATE.split("part: gate", 1)[1]}
  - stage: work
    title: Work
    steps:
      - {{step: weld, do: Weld., why: W., right: R., wrong: W., heat: true, shows: [half], when: "length > 3 ft"}}
      - step: plug
        do: Plug.
        why: W.
        right: R.
        wrong: W.
        opens: [plugs]
        evidence:
          drop: {{kind: number, ask: Drop, quantity: length, from: 6 in, to: 8 in}}
          wait: {{kind: timer, ask: Wait, limit: fire_watch_minutes}}
      - {{step: unplug, do: Unplug., why: W., right: R., wrong: W., clears: plugs, needs: [plug, weld], hold: true,
         evidence: {{p: {{kind: photo, ask: P}}}}}}
      - {{step: tarp, do: Wet it., why: W., right: R., wrong: W., proves: tarp}}
""".replace("measures:\n", "measures:\n  length: {ask: Length, kind: length, from: 1 ft, to: 80 ft}\n")
SOON = settings(deadline=timedelta(seconds=5), suppress_health_check=[HealthCheck.too_slow])

PIECES = st.sampled_from(
    ["\n", "  ", "- ", ": ", ":", "?", "{", "}", "[", "]", ",", "'", '"', "#", " #", "|", ">-", "!", "&a ", "*a", "%",
     "@", "---", "...", "\\", "~", "<<: ", "\t", "\u00a0", "\u202e", "\x00", "true", "[]", "{}", "heat: true", "step",
     "use: gate", "proves: wind", "1 ft", "1 lb", "length", "half", "(", ")", "+", "^", "if(", "and",
     "é", "🛶", "9" * 400]
)


def read(data: bytes) -> Procedure | None:
    try:
        return read_procedure(data, "a.yaml", find_part)
    except ProcedureError as error:
        assert error.problems
        assert all(problem.what and problem.why and problem.mend for problem in error.problems)
        assert str(error)
        return None


def test_the_text_that_is_mutated_is_right() -> None:
    procedure = read(VALID.encode())
    assert procedure is not None
    assert procedure.heats
    assert len(procedure.steps) == 19


@SOON
@given(st.binary(max_size=400))
def test_random_bytes(data: bytes) -> None:
    read(data)


@SOON
@given(st.lists(PIECES | st.text(max_size=5), max_size=40).map("".join))
def test_random_pieces_of_yaml(text: str) -> None:
    read(text.encode("utf-8", "surrogatepass"))


@SOON
@given(
    st.lists(
        st.tuples(st.integers(0, len(VALID)), st.integers(0, 30), PIECES | st.just("") | st.binary(max_size=3)),
        min_size=1, max_size=6,
    )
)
def test_mutations_of_a_right_text(changes: list[tuple[int, int, str | bytes]]) -> None:
    data = VALID.encode()
    for at, gone, new in changes:
        data = data[:at] + (new if isinstance(new, bytes) else new.encode()) + data[at + gone:]
    read(data)


@SOON
@given(st.data())
def test_lines_moved_doubled_and_dropped(data: st.DataObject) -> None:
    lines = VALID.splitlines(keepends=True)
    for _ in range(data.draw(st.integers(1, 4))):
        at, to = data.draw(st.integers(0, len(lines) - 1)), data.draw(st.integers(0, len(lines) - 1))
        act = data.draw(st.sampled_from(["move", "double", "drop", "indent"]))
        line = lines[at]
        if act in ("move", "drop"):
            del lines[at]
        if act in ("move", "double"):
            lines.insert(to, line)
        if act == "indent":
            lines[at] = "  " + line
    read("".join(lines).encode())


@SOON
@given(st.lists(PIECES | st.sampled_from(["a", "b", "a: b", "\n- ", "\n  ", "k: "]), max_size=12).map("".join))
def test_both_builds_of_the_yaml_library_read_the_same_or_refuse(text: str) -> None:
    """A text that one build reads and the other reads otherwise would be another procedure on another tablet."""
    trees = []
    for loader in (yaml.CSafeLoader, yaml.SafeLoader):
        kept, nodes.LOADER = nodes.LOADER, loader
        faults = Faults()
        try:
            tree = nodes.read_tree(text.encode("utf-8", "surrogatepass"), "a.yaml", faults)
            faults.stop_if_any()
            trees.append(plain(tree) if tree is not None else None)
        except ProcedureError:
            trees.append("refused")
        finally:
            nodes.LOADER = kept
    assert trees[0] == trees[1]
