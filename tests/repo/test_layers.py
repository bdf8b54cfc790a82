"""The shape of the code, read from its syntax trees: who imports whom, what the core may use, how large things are.

The direction is that of DESIGN: tablet, terminal and command line at the top, core at the bottom, never up and never
in a circle. Imports inside functions count like all others.
"""

from __future__ import annotations

import ast
import statistics
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted((ROOT / "coach").rglob("*.py"))

# The parts of the app from the bottom up; a part imports only what stands on a lower level, as the table says.
LEVELS: tuple[set[str], ...] = (
    {"core", "__init__"}, {"paths", "disk", "catalogue_file"}, {"language"}, {"formats", "language_tools", "arguments"}, {"reader", "record"}, {"prover"},
    {"yard"}, {"view", "sheet", "practice"}, {"terminal", "tablet", "answers", "custody"}, {"demo"}, {"cli"}, {"__main__"},
)
# The one level whose parts may look at each other: a drill is judged here, worded there and drawn beside. That no file
# imports itself through others holds for them too.
SIDEWAYS = {"view", "sheet", "practice"}
BELOW: dict[str, set[str]] = {
    "core": set(),
    "paths": {"core"},
    "disk": set(),
    "catalogue_file": set(),
    "language": {"paths", "catalogue_file"},
    "formats": {"core", "language"},
    "language_tools": {"core", "paths", "language"},
    "reader": {"core", "paths", "disk"},
    "record": {"core", "paths", "disk"},
    "prover": {"core", "paths", "reader"},
    "yard": {"core", "paths", "reader", "prover", "record"},
    "view": {"core", "language", "formats", "yard", "practice"},
    "sheet": {"core", "language", "formats", "view", "practice"},
    "practice": {"core", "paths", "language", "formats", "reader", "prover", "yard", "view", "sheet"},
}
ALL_BELOW = set(BELOW)
MAY_IMPORT: dict[str, set[str]] = {
    **BELOW,
    "terminal": ALL_BELOW,
    "tablet": ALL_BELOW,
    "answers": ALL_BELOW,
    "custody": ALL_BELOW,
    "demo": ALL_BELOW | {"tablet"},
    "arguments": {"core", "language"},
    "cli": ALL_BELOW | {"terminal", "tablet", "answers", "custody", "demo", "arguments"},
    "__main__": {"cli"},
    "__init__": set(),
}
# What the core may use of the standard library: nothing that reads files, clocks, chance, threads or the outside.
CORE_STANDARD = {
    "__future__", "abc", "bisect", "collections", "dataclasses", "datetime", "difflib", "enum", "fractions",
    "functools", "hashlib", "heapq", "itertools", "json", "math", "operator", "re", "typing", "unicodedata",
}
CORE_NEVER_CALLS = {"open", "input", "print", "exec", "eval", "compile", "__import__", "globals", "breakpoint"}
CORE_NEVER_ASKS = {"now", "today", "utcnow", "localtime", "time_ns", "monotonic", "perf_counter", "getenv", "environ"}
# Where each outside library, and what stands for the outside of the program, may be used.
ONLY_IN: dict[str, set[str]] = {
    "kivy": {"tablet"}, "yaml": {"reader", "language_tools"}, "babel": {"catalogue_file", "formats", "language_tools"},
    "cryptography": {"record"}, "sqlite3": {"record", "yard"},
    "time": {"yard", "cli"}, "threading": {"tablet", "yard"}, "random": {"practice", "prover"},
    "subprocess": {"cli", "demo", "tablet", "language_tools"},
    "argparse": {"arguments", "cli", "language_tools"}, "psycopg": {"record"},
}
OUTSIDE = {"kivy", "yaml", "babel", "cryptography"}
EXTRA = {"psycopg"}  # of the office extra
LARGEST_FILE, LARGE_FILE, MEDIAN_FILE, LARGEST_FUNCTION = 600, 400, 150, 60
# Files over 400 lines, each with why no seam was found.
LARGE: dict[str, str] = {
    "coach/core/gate.py": "one table of safeguards with its judgements; a row apart from its judgement is read twice",
}


def name_of(path: Path) -> str:
    """The module's full name."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in FILES}


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imports_of(path: Path) -> Iterator[str]:
    """Every module a file imports, anywhere in it; `from coach import paths` is an import of coach.paths."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: imports are written in full"
            module = node.module or ""
            for alias in node.names:
                full = f"{module}.{alias.name}"
                yield full if full in MODULES else module


def part_of(module: str) -> str:
    """The part of the app that a module of ours belongs to."""
    pieces = module.split(".")
    return pieces[1] if len(pieces) > 1 else "__init__"


def ours(path: Path) -> set[str]:
    return {module for module in imports_of(path) if module.split(".")[0] == "coach"}


def in_core(path: Path) -> bool:
    return part_of(name_of(path)) == "core"


def test_the_table_has_every_part_and_runs_one_way() -> None:
    level = {part: number for number, parts in enumerate(LEVELS) for part in parts}
    assert {part_of(module) for module in MODULES} <= set(MAY_IMPORT) == set(level)
    for part, below in MAY_IMPORT.items():
        up = {other for other in below if level[other] >= level[part]} - (SIDEWAYS if part in SIDEWAYS else set())
        assert not up, f"{part} would import what stands beside or above it: {sorted(up)}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_run_down_only(path: Path) -> None:
    own = part_of(name_of(path))
    wrong = {module for module in ours(path) if part_of(module) not in {own, "__init__", *MAY_IMPORT[own]}}
    assert not wrong, f"{own} may not import {sorted(wrong)}"


def test_no_module_imports_itself_through_others() -> None:
    graph = {module: {each for each in ours(path) if each in MODULES and each != module} for module,
        path in MODULES.items()}
    done: set[str] = set()

    def circle(module: str, way: tuple[str, ...]) -> tuple[str, ...] | None:
        if module in way:
            return (*way[way.index(module):], module)
        if module in done:
            return None
        for other in sorted(graph[module]):
            if found := circle(other, (*way, module)):
                return found
        done.add(module)
        return None

    for module in sorted(graph):
        assert circle(module, ()) is None


@pytest.mark.parametrize("path", [path for path in FILES if in_core(path)], ids=lambda path: path.name)
def test_the_core_knows_no_files_no_clock_no_chance_and_no_outside(path: Path) -> None:
    used = {module.split(".")[0] for module in imports_of(path)} - {"coach"}
    assert used <= CORE_STANDARD, f"not for the core: {sorted(used - CORE_STANDARD)}"
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in CORE_NEVER_CALLS, f"line {node.lineno}: {node.func.id}()"
        if isinstance(node, ast.Attribute):
            assert node.attr not in CORE_NEVER_ASKS, f"line {node.lineno}: .{node.attr}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_each_outside_library_has_its_place(path: Path) -> None:
    own = part_of(name_of(path))
    for module in imports_of(path):
        places = ONLY_IN.get(module.split(".")[0])
        assert places is None or own in places, f"{module} is for {sorted(places or ())} only"


def test_nothing_is_needed_at_work_but_the_four_libraries_and_the_offices_extra() -> None:
    import sys

    used = {module.split(".")[0] for path in FILES for module in imports_of(path)} - {"coach"}
    assert used - set(sys.stdlib_module_names) <= OUTSIDE | EXTRA


def test_the_two_readings_of_safety_share_no_code() -> None:
    """The monitor stands on events, moments, limits and the policy, and on nothing that the gate stands on besides."""
    allowed = {"coach.core." + name for name in ("events", "moment", "floors", "policy", "monitor", "monitor_stay",
        "monitor_values")}
    for name in ("monitor", "monitor_stay", "monitor_values"):
        assert ours(MODULES[f"coach.core.{name}"]) <= allowed
    for name in ("gate", "checks", "refusal", "session", "session_flame", "session_end", "state", "evidence", "rules"):
        assert not any("monitor" in module for module in ours(MODULES[f"coach.core.{name}"]))
    for node in ast.walk(tree_of(MODULES["coach.core.monitor_stay"])):
        assert not (isinstance(node, ast.Attribute) and node.attr in ("age_at", "limit")), "ages and limits are its own"


def test_the_front_ends_judge_nothing_themselves() -> None:
    """They send actions through a job and draw views; tables, limits and judgements stay in the core."""
    never = {"SAFEGUARDS", "DEBTS", "LIMITS", "bounded", "within", "wind_speeds", "decide", "evolve", "fold",
        "evidence_reasons"}
    for module, path in MODULES.items():
        if part_of(module) in ("tablet", "terminal"):
            taken = {alias.name for node in ast.walk(tree_of(path)) if isinstance(node,
                ast.ImportFrom) for alias in node.names}
            assert not taken & never, f"{module} takes {sorted(taken & never)}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_file_and_no_function_grows_too_large(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= LARGEST_FILE
    known = str(path.relative_to(ROOT)) in LARGE
    assert lines <= LARGE_FILE or known, "over 400 lines: look for a seam, or say why not"
    for node in ast.walk(tree_of(path)):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            length = (node.end_lineno or node.lineno) - node.lineno + 1
            assert length <= LARGEST_FUNCTION, f"{node.name} has {length} lines"


def test_most_files_are_small_and_each_says_what_it_holds() -> None:
    assert statistics.median(len(path.read_text(encoding="utf-8").splitlines()) for path in FILES) <= MEDIAN_FILE
    assert [name_of(path) for path in FILES if not ast.get_docstring(tree_of(path))] == []
