"""A second reading of a procedure, for SPIN: tables for each procedure, and one small model in Promela and C.

Nothing here is shared with the kernel or the prover but the procedure itself and the parsed trees of its conditions. The
model knows: what comes before a step, conditions with unknown answers, questions, proofs, flames, debts, what undoing a
debt ends. World and people only go forward (nothing is withdrawn or corrected), so that 'closed can be reached with
these answers' is plain reachability. SPIN searches every order of acts; facts are printed as they are first met:
  E p a      procedure p can be closed with answers a
  D p s      step s can be done
  M p s      step s is due, and something it reads is not measured
  S p d      debt d is owed, and what undoing it is held against is not measured
SPIN: Gerard Holzmann's model checker, version 6, Debian package `spin`.
"""

from __future__ import annotations

import itertools
import os
import resource
import subprocess
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from coach.core.formula import Formula
from coach.core.formula_tree import Compare, If, Literal, Logic, Member, Name, Node, Not, Truth, children, walk
from coach.core.model import Evidence, Measure, Procedure, Step

MODEL = r"""
c_decl { \#include "tables.h" }
int done[WORDS];
int known, owed, shown;
short p = 0, a = 0, x = 0;

init {
  do :: c_expr { now.p + 1 < PROCEDURES } -> p++ :: break od;
  do :: c_expr { now.a + 1 < answers_of[now.p] } -> a++ :: break od;
  do
  :: atomic {
       c_code { look(now.p, now.a, now.done, now.known, now.owed); };
       x = 0;
       do :: c_expr { now.x + 1 < steps_of[now.p] } -> x++ :: break od;
       if
       :: c_expr { (may(now.p, now.a, now.x, now.done, now.known, now.owed, now.shown)) } ->
          c_code { act(now.p, now.a, now.x, now.done, &now.known, &now.owed, &now.shown); };
          x = 0
       fi
     }
  od
}
"""

C_CODE = r"""
#include <stdio.h>
#define HAS(bits, n) ((bits)[(n) >> 5] >> ((n) & 31) & 1)
static int answer(int p, int a, int m) { for (int i = 0; i < m; i++) a /= values_of[p][i]; return a % values_of[p][m]; }
/* 0 false, 1 true, 2 not known: worked out from the left, the right side only where it can still matter */
static int holds(int p, int a, int known, int c) {
  const int *n = nodes[c];
  int l, r;
  switch (n[0]) {
    case 0: return n[1];
    case 1: return known >> n[1] & 1 ? n[2] >> answer(p, a, n[1]) & 1 : 2;
    case 2: l = holds(p, a, known, n[1]); if (l != 1) return l; return holds(p, a, known, n[2]);
    case 3: l = holds(p, a, known, n[1]); if (l != 0) return l; return holds(p, a, known, n[2]);
    default: r = holds(p, a, known, n[1]); return r == 2 ? 2 : !r;
  }
}
static int asked(int p, int a, int s, const int *done, int known, int owed) {
  if (clears[p][s]) return (owed >> clears[p][s] & 1) || HAS(done, s);
  return when[p][s] < 0 ? 1 : holds(p, a, known, when[p][s]);
}
static int settled(int p, int a, int s, const int *done, int known, int owed) {
  return HAS(done, s) || asked(p, a, s, done, known, owed) == 0;
}
static int due(int p, int a, int s, const int *done, int known, int owed) {
  for (int i = 0; i < steps_of[p]; i++)
    if (HAS(before[p][s], i) && !settled(p, a, i, done, known, owed)) return 0;
  return 1;
}
static int wanted(int p, int a, int m, int known) { return only[p][m] < 0 ? 1 : holds(p, a, known, only[p][m]) != 0; }
/* what this step asks is in once it is done */
static int after_asking(int p, int a, int s, int known) {
  for (int round = 0; round < 2; round++)
    for (int m = 0; m < measures_of[p]; m++)
      if ((asks[p][s] >> m & 1) && wanted(p, a, m, known)) known |= 1 << m;
  return known;
}
static int lacks(int p, int a, int s, int known) {
  for (int u = uses[p][s]; u >= 0; u = use[u][2]) {
    if (use[u][1] >= 0) {
      int c = holds(p, a, known, use[u][1]);
      if (c == 2) return 1;
      if (c == 0) continue;
    }
    if (!(known >> use[u][0] & 1)) return 1;
  }
  return 0;
}
static int may(int p, int a, int s, const int *done, int known, int owed, int shown) {
  int can_again = proves[p][s] && !(shown >> proves[p][s] & 1);
  if (never[p][s]) return 0;
  if (HAS(done, s) && !can_again) return 0;
  if (!HAS(done, s) && (!due(p, a, s, done, known, owed) || asked(p, a, s, done, known, owed) != 1)) return 0;
  if (lacks(p, a, s, after_asking(p, a, s, known))) return 0;
  if (heat[p][s] && (shown & gate[p]) != gate[p]) return 0;
  return 1;
}
static void owe(int p, int d, int *done, int *owed) {
  *owed |= 1 << d;
  for (int i = 0; i < steps_of[p]; i++) if (clears[p][i] == d) done[i >> 5] &= ~(1u << (i & 31));
}
static void act(int p, int a, int s, int *done, int *known, int *owed, int *shown) {
  *known = after_asking(p, a, s, *known);
  done[s >> 5] |= 1u << (s & 31);
  if (proves[p][s]) {
    *shown |= 1 << proves[p][s];
    if (proves[p][s] == TAPE_PROOF && vents[p] >= 0 && answer(p, a, vents[p]) > 0) owe(p, TAPE, done, owed);
    if (proves[p][s] == GAS_PROOF) owe(p, CYLINDER, done, owed);
  }
  if (heat[p][s]) { owe(p, CYLINDER, done, owed); owe(p, FIRE, done, owed); }
  if (clears[p][s]) {
    int d = clears[p][s];
    *owed &= ~(1 << d);
    if (d == TAPE) *shown &= ~(1 << TAPE_PROOF);
    if (d == CYLINDER) *shown &= ~(1 << GAS_PROOF);
    if (d == FIRE) *shown &= ~(1 << WATCH_PROOF);
  }
  for (int d = 1; d < 12; d++) if (opens[p][s] >> d & 1) owe(p, d, done, owed);
}
static char said_e[PROCEDURES][MOST_ANSWERS], said_d[PROCEDURES][32 * WORDS], said_m[PROCEDURES][32 * WORDS], said_s[PROCEDURES][32 * WORDS];
static void look(int p, int a, const int *done, int known, int owed) {
  int all = !owed;
  for (int s = 0; s < steps_of[p]; s++) {
    all = all && settled(p, a, s, done, known, owed);
    if (HAS(done, s) && !said_d[p][s]) { said_d[p][s] = 1; printf("D %d %d\n", p, s); }
    if (!HAS(done, s) && due(p, a, s, done, known, owed)) {
      int c = clears[p][s] ? 1 : when[p][s] < 0 ? 1 : holds(p, a, known, when[p][s]);
      int reads = c == 1 && lacks(p, a, s, after_asking(p, a, s, known));
      if (clears[p][s] && lacks(p, a, s, after_asking(p, a, s, known))) reads = 1;
      if ((c == 2 || reads) && !said_m[p][s]) { said_m[p][s] = 1; printf("M %d %d\n", p, s); }
    }
    if (clears[p][s] && (owed >> clears[p][s] & 1) && lacks(p, a, s, known) && !said_s[p][s]) {
      said_s[p][s] = 1; printf("S %d %d\n", p, s);
    }
  }
  if (all && !said_e[p][a]) { said_e[p][a] = 1; printf("E %d %d\n", p, a); }
}
"""

PROOFS = (
    "", "vents_taped", "leak_test", "fire_watch", "operator", "protection", "fuel_system", "extinguisher", "area", "air", "gas", "wind",
)
DEBTS = ("", "taped_vents", "open_cylinder", "fire_watch")


@dataclass
class Facts:
    """What SPIN met about one procedure. closes: answers with which it can be closed, of so many."""

    answers: int
    closes: set[int] = field(default_factory=set)
    done: set[str] = field(default_factory=set)
    unmeasured: set[str] = field(default_factory=set)
    unstoppable: set[str] = field(default_factory=set)

    @property
    def dead_end(self) -> bool:
        """Whether some boat's job can never be closed."""
        return len(self.closes) < self.answers


@dataclass
class _Tables:
    """One procedure as numbers."""

    procedure: Procedure
    nodes: list[list[int]]
    use: list[list[int]]

    def __post_init__(self) -> None:
        self.steps = list(self.procedure.steps)
        self.index = {step.id: n for n, step in enumerate(self.steps)}
        self.measures = list(self.procedure.measures)
        self.values = {id: _values(self.procedure, self.procedure.measures[id]) for id in self.measures}
        self.proofs = [*PROOFS, *(own.id for own in self.procedure.safeguards)]
        self.debts = [*DEBTS, *(debt.id for debt in self.procedure.debts)]

    def condition(self, formula: Formula | None) -> int:
        return -1 if formula is None else self.node(formula.tree)

    def node(self, tree: Node) -> int:
        match tree:
            case Truth():
                row = [0, int(tree.value), 0]
            case Logic():
                row = [2 if tree.op == "and" else 3, self.node(tree.left), self.node(tree.right)]
            case Not():
                row = [4, self.node(tree.operand), 0]
            case Name():
                row = [1, self.measures.index(tree.id), self._mask(tree.id, lambda v: v == "yes")]
            case Member():
                row = [1, self.measures.index(tree.name.id), self._mask(tree.name.id, lambda v: (v in tree.options) != tree.negated)]
            case Compare(left=Name() as name, right=Literal() as literal):
                limit = Fraction(literal.value)
                compare = {"<": lambda v: v < limit, "<=": lambda v: v <= limit, ">": lambda v: v > limit,
                           ">=": lambda v: v >= limit, "==": lambda v: v == limit, "!=": lambda v: v != limit}[tree.op]
                row = [1, self.measures.index(name.id), self._mask(name.id, compare)]
            case _:
                raise NotImplementedError(tree.text)
        self.nodes.append(row)
        return len(self.nodes) - 1

    def _mask(self, measure: str, test: object) -> int:
        return sum(1 << n for n, value in enumerate(self.values[measure]) if test(value))  # type: ignore[operator]

    def before(self, words: int) -> list[list[int]]:
        """All that comes before each step, by walking the needs; in words of 32 bits."""
        found = []
        for step in self.steps:
            seen: set[str] = set()
            waiting = list(step.needs)
            while waiting:
                id = waiting.pop()
                if id not in seen:
                    seen.add(id)
                    waiting += self.steps[self.index[id]].needs
            found.append(_words(sum(1 << self.index[id] for id in seen), words))
        return found

    def used(self, step: Step) -> int:
        """The measures that a step uses, as a list linked by index; each with the condition under which it is read."""
        head = -1
        for measure, condition in self._reads(step):
            self.use.append([self.measures.index(measure), condition, head])
            head = len(self.use) - 1
        return head

    def _reads(self, step: Step) -> list[tuple[str, int]]:
        names = [*step.uses, *step.shows, *(item.against for item in step.evidence if item.against)]
        if step.proves == "vents_taped":
            names.append("fuel_vents")
        if step.proves == "air":
            names.append("place")
        found: dict[tuple[str, int], None] = {}
        for name in names:
            self._named(name, -1, found)
        return list(found)

    def _named(self, name: str, condition: int, found: dict[tuple[str, int], None]) -> None:
        """What a name rests on, read only where the condition holds (-1: always)."""
        if name in self.procedure.measures:
            found[name, condition] = None
        else:
            self._tree(self.procedure.numbers[name].formula.tree, condition, found)

    def _tree(self, tree: Node, condition: int, found: dict[tuple[str, int], None]) -> None:
        if isinstance(tree, If):
            self._tree(tree.condition, condition, found)
            chosen = self.node(tree.condition)
            self._tree(tree.yes, self._both(condition, chosen), found)
            self._tree(tree.no, self._both(condition, self._not(chosen)), found)
        elif isinstance(tree, Name | Member):
            self._named(tree.id if isinstance(tree, Name) else tree.name.id, condition, found)
        else:
            for child in children(tree):
                self._tree(child, condition, found)

    def _not(self, node: int) -> int:
        self.nodes.append([4, node, 0])
        return len(self.nodes) - 1

    def _both(self, first: int, second: int) -> int:
        if first < 0:
            return second
        self.nodes.append([2, first, second])
        return len(self.nodes) - 1


def _words(bits: int, words: int) -> list[int]:
    """A set of bits as signed words of 32."""
    parts = [bits >> 32 * n & 0xFFFFFFFF for n in range(words)]
    return [part - (1 << 32) if part >> 31 else part for part in parts]


def _values(procedure: Procedure, measure: Measure) -> list[object]:
    """The values of a measure that conditions could tell apart, by this file's own reading."""
    if measure.kind == "choice":
        return [option.id for option in measure.options]
    if measure.kind == "yes_no":
        return ["yes", "no"]
    low, high = Fraction(measure.low.value), Fraction(measure.high.value)  # type: ignore[union-attr]
    limits = sorted({low, high, *_compared_with(procedure, measure)})
    found = [*limits, *((first + second) / 2 for first, second in zip(limits, limits[1:]))]
    if measure.kind == "count":
        found = [low, high]
    cells: dict[tuple[bool, ...], Fraction] = {}
    for value in sorted(v for v in found if low <= v <= high):  # one value for each way to stand to all limits
        told = [(value > limit, value == limit) for limit in sorted(_compared_with(procedure, measure))]
        cells.setdefault((*itertools.chain(*told), value if measure.kind == "count" else False), value)  # type: ignore[arg-type]
    return list(cells.values())


def _compared_with(procedure: Procedure, measure: Measure) -> set[Fraction]:
    """The constants that some condition compares this measure with."""
    found = set()
    for formula in _formulas(procedure):
        for part in walk(formula.tree):
            if isinstance(part, Compare) and isinstance(part.left, Name) and part.left.id == measure.id and isinstance(part.right, Literal):
                found.add(Fraction(part.right.value))
    return found


def _formulas(procedure: Procedure) -> Iterable[Formula]:
    for step in procedure.steps:
        if step.when is not None:
            yield step.when
    for measure in procedure.measures.values():
        if measure.when is not None:
            yield measure.when
    for number in procedure.numbers.values():
        yield number.formula


def _impossible(item: Evidence) -> bool:
    """Whether nothing can meet this item."""
    if item.kind in ("number", "count") and item.low is not None and item.high is not None:
        return item.low.value > item.high.value
    return item.kind == "choice" and bool(item.accept) and not {o.id for o in item.options} & set(item.accept)


def tables(procedures: Sequence[Procedure]) -> str:
    """All procedures as C tables."""
    nodes: list[list[int]] = [[0, 0, 0]]
    use: list[list[int]] = [[0, -1, -1]]
    made = [_Tables(procedure, nodes, use) for procedure in procedures]
    words = -(-max(len(table.steps) for table in made) // 32)
    before: list[list[list[int]]] = []
    rows: dict[str, list[list[int]]] = {name: [] for name in (
        "when", "clears", "opens", "proves", "heat", "never", "asks", "uses", "only", "values_of")}
    for table in made:
        steps = table.steps
        before.append(table.before(words))
        rows["when"].append([table.condition(step.when) for step in steps])
        rows["clears"].append([table.debts.index(step.clears) if step.clears else 0 for step in steps])
        rows["opens"].append([sum(1 << table.debts.index(debt) for debt in step.opens) for step in steps])
        rows["proves"].append([table.proofs.index(step.proves) if step.proves else 0 for step in steps])
        rows["heat"].append([int(step.heat) for step in steps])
        rows["never"].append([int(any(_impossible(item) for item in step.evidence)) for step in steps])
        rows["asks"].append([sum(1 << table.measures.index(id) for id in step.asks) for step in steps])
        rows["uses"].append([table.used(step) for step in steps])
        rows["only"].append([table.condition(table.procedure.measures[id].when) for id in table.measures] or [-1])
        rows["values_of"].append([len(table.values[id]) for id in table.measures] or [1])
    counts = [_product(row) for row in rows["values_of"]]
    gates = [((1 << len(table.proofs)) - 2) if any(step.heat for step in table.steps) else 0 for table in made]
    vents = [table.measures.index("fuel_vents") if "fuel_vents" in table.measures else -1 for table in made]
    lines = [f"#define PROCEDURES {len(made)}", f"#define MOST_ANSWERS {max(counts)}"]
    lines += ["#define TAPE 1", "#define CYLINDER 2", "#define FIRE 3", "#define TAPE_PROOF 1", "#define GAS_PROOF 2", "#define WATCH_PROOF 3"]
    lines.append(f"#define WORDS {words}")
    most = max(len(table.steps) for table in made)
    text = ",".join("{" + ",".join("{" + ",".join(map(str, row)) + "}" for row in one) + "}" for one in before)
    lines.append(f"static const int before[][{most}][{words}] = {{{text}}};")
    lines += [_array("nodes", nodes), _array("use", use)]
    lines += [_array(name, table) for name, table in rows.items()]
    for name, row in (("steps_of", [len(t.steps) for t in made]), ("measures_of", [len(t.measures) for t in made]), ("answers_of", counts),
                      ("gate", gates), ("vents", vents)):
        lines.append(f"static const int {name}[] = {{{','.join(map(str, row))}}};")
    return "\n".join(lines) + C_CODE


def _product(row: Iterable[int]) -> int:
    total = 1
    for number in row:
        total *= number
    return total


def _array(name: str, rows: list[list[int]]) -> str:
    width = max(map(len, rows))
    text = ",".join("{" + ",".join(map(str, row)) + "}" for row in rows)
    return f"static const int {name}[][{width}] = {{{text}}};"


def check(procedures: Sequence[Procedure], optimise: str = "-O0", seconds: int = 300, spent: list[float] | None = None) -> list[Facts]:
    """What SPIN meets about each procedure, all in one search.

    Args:
        optimise: gcc's option for the search.
        seconds: the longest search.
        spent: gets the processor seconds of translating and compiling, then those of the search.

    Raises:
        subprocess.TimeoutExpired: the search took longer.
        AssertionError: SPIN or gcc failed, or the search was cut short.
    """
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        words = -(-max(len(procedure.steps) for procedure in procedures) // 32)
        (here / "tables.h").write_text(tables(procedures), "utf-8")
        (here / "model.pml").write_text(MODEL.replace("\\#", "#").replace("WORDS", str(words)), "utf-8")
        begin = _processor()
        _run(["spin", "-a", "model.pml"], here)
        _run(["gcc", optimise, "-w", "-DSAFETY", "-DNOREDUCE", "-DMEMLIM=2000", "-o", "pan", "pan.c"], here)
        compiled = _processor()
        out = _run([str(here / "pan"), "-m200000", "-w22", "-E", "-n"], here, seconds)
        if spent is not None:
            spent += [compiled - begin, _processor() - compiled]
    facts = [Facts(_product([len(_values(p, m)) for m in p.measures.values()])) for p in procedures]
    if "Search not completed" in out or "max search depth too small" in out:
        raise AssertionError(f"the search was cut short:\n{out[-2000:]}")
    for line in out.splitlines():
        words = line.split()
        if len(words) == 3 and words[0] in "EDMS":
            _note(facts, procedures, words[0], int(words[1]), int(words[2]))
    return facts


def _note(facts: list[Facts], procedures: Sequence[Procedure], kind: str, number: int, about: int) -> None:
    one = facts[number]
    if kind == "E":
        one.closes.add(about)
    else:
        {"D": one.done, "M": one.unmeasured, "S": one.unstoppable}[kind].add(procedures[number].steps[about].id)


def _processor() -> float:
    """Processor seconds of all programs run so far."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _run(command: list[str], here: Path, seconds: int = 300) -> str:
    done = subprocess.run(command, cwd=here, capture_output=True, text=True, env={**os.environ, "LC_ALL": "C"}, timeout=seconds)
    if done.returncode != 0:
        raise AssertionError(f"{command[0]} failed:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    return done.stdout
