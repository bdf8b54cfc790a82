"""Reads a procedure with the parts it uses into the model, or says everything that is wrong with them.

Rules kept here:
 1. A part is read where it is used, once; parts may use parts, never in a ring.
 2. What a procedure declares and what its parts declare are one set of names.
 3. No procedure comes out of a text that has a fault.
Knows nothing of: folders (the caller gives a function that finds a part's bytes).
Called by: load, tests.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.core.canonical import canonical, composed, text_hash
from coach.core.floors import LIMITS
from coach.core.gate import DEBTS, SAFEGUARDS
from coach.core.model import OwnDebt, OwnSafeguard, Procedure
from coach.core.problems import nearest
from coach.reader.draft import Draft
from coach.reader.faults import Faults, clip
from coach.reader.fields import ID, Fields, check_id
from coach.reader.heat import check_heat
from coach.reader.links import check_links
from coach.reader.nodes import Mapping, Node, Scalar, read_tree
from coach.reader.steps import read_cautions, read_stage
from coach.reader.values import read_values

SHARED_KEYS = ("measures", "numbers", "checks", "safeguards", "debts", "stages")
PROCEDURE_KEYS = ("procedure", "version", "title", "purpose", "fits", "cautions", "signs", *SHARED_KEYS)
PART_KEYS = ("part", *SHARED_KEYS)
SAFEGUARD_KEYS = ("name", "ask", "why", "mend", "minutes")
DEBT_KEYS = ("name", "why", "undo")
MAX_PARTS = 50
MAX_TOTAL = 2_000_000  # bytes of all files of one procedure
MAX_VERSION = 999_999

FindPart = Callable[[str], tuple[str, bytes] | None]


def read_procedure(
    data: bytes, file: str, find_part: FindPart, parts: Callable[[], tuple[str, ...]] = tuple
) -> Procedure:
    """The procedure that the bytes of its file say.

    Args:
        data: the file's bytes, any bytes at all.
        file: its name for messages, `<id>.yaml`, with folders before it or not.
        find_part: gives name and bytes of a part's file by its id, or None if there is no such part.
        parts: gives the ids of all parts, to name the nearest one.

    Raises:
        ProcedureError: every fault of the file and its parts, with its place.
    """
    faults = Faults()
    draft = Draft(faults, find_part, parts)
    draft.files[f"{_stem(file)}.yaml"] = data
    tree = read_tree(data, file, faults)
    if tree is None:
        faults.stop_if_any()
        raise AssertionError("a tree is missing only after a fault")
    procedure = _procedure(draft, tree, file)
    if draft.complete:
        check_links(draft)
        check_heat(draft, procedure)
    faults.stop_if_any()
    document = bundle(draft.files)
    return replace(procedure, hash=text_hash(document), document=document)


def bundle(files: dict[str, bytes]) -> str:
    """The texts of all files as one text, the same wherever they stand: the record keeps it, its hash names it.

    files: read without fault, so UTF-8; by the names `<id>.yaml` and `parts/<id>.yaml`.
    """
    return canonical(composed({name: data.decode("utf-8-sig") for name, data in files.items()})).decode("utf-8")


def _procedure(draft: Draft, tree: Node, file: str) -> Procedure:
    fields = Fields(tree, draft.faults, "a procedure", PROCEDURE_KEYS, refused=("limits", "part"))
    _refuse_keys(fields)
    id = fields.id("procedure", required=True)
    if id:
        same_as_file(draft.faults, id, _stem(file))
    version = fields.whole("version", 1, MAX_VERSION, required=True)
    title, purpose = fields.text("title", required=True), fields.text("purpose", required=True)
    fits = tuple(word.text for word in fields.words("fits", "words"))
    cautions = read_cautions(fields)
    _shared(draft, fields, ())
    if fields.has("stages") and not any(stage.steps for stage in draft.stages) and not draft.faults.found:
        draft.faults.add(
            "P221", "a procedure without a step", "there is nothing to do", "write a stage with a step",
            fields.place_of("stages")
        )
    return Procedure(
        id.text if id else "", version or 0, title, purpose, tuple(draft.stages), draft.measures, draft.numbers,
        fields.place, tuple(draft.checks), tuple(draft.safeguards), tuple(draft.debts), fits, cautions,
        files=tuple(draft.files), signs=fields.text("signs"),
    )


def _refuse_keys(fields: Fields) -> None:
    """Notes keys that show a misunderstanding; ends the reading where nothing else would make sense."""
    if fields.has("part"):
        fields.faults.add(
            "P220", "this is a part, not a procedure", "a part is only stages for procedures to use",
            "load a procedure that uses it", fields.entries["part"][0].place,
        )
    if not fields.usable or fields.has("part"):
        fields.faults.stop_if_any()
    if fields.has("limits"):
        fields.faults.add(
            "P229", "a procedure with 'limits'", "limits are the yard's, and a procedure could only loosen them",
            "write them in the yard's policy", fields.entries["limits"][0].place,
        )


def _stem(file: str) -> str:
    """A file's name without folders and ending: the id that is due in it."""
    return file.replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".yaml")


def same_as_file(faults: Faults, id: Scalar, due: str) -> None:
    """Notes that an id is not the one that is due by the file's name."""
    if id.text != due:
        faults.add(
            "P222", "the id is '%(found)s', expected '%(due)s' as in the file's name", "a file is found by its id",
            "write '%(due)s', or rename the file", id.place, found=clip(id.text), due=clip(due),
        )


def _shared(draft: Draft, fields: Fields, inside: tuple[str, ...]) -> None:
    """What procedures and parts may both hold. inside: the parts being read, outermost first."""
    read_values(draft, fields)
    for id, node in fields.pairs("safeguards", "own safeguards, each under its id"):
        _own_safeguard(draft, id, node)
    for id, node in fields.pairs("debts", "own debts, each under its id"):
        _own_debt(draft, id, node)
    if not inside and fields.usable and not fields.has("stages"):
        fields.missing("stages")
    for item in fields.list("stages", "stages, or 'use' with the id of a part"):
        if isinstance(item, Mapping) and "use" in item.entries:
            _use(draft, item, inside)
        else:
            read_stage(draft, item)


def _own_safeguard(draft: Draft, id: Scalar, node: Node) -> None:
    fields = Fields(node, draft.faults, "a safeguard", SAFEGUARD_KEYS)
    most = LIMITS["other_minutes"]
    minutes = fields.whole("minutes", 1, most.floor, required=True)
    name, ask, why, mend = (fields.text(key, required=True) for key in ("name", "ask", "why", "mend"))
    if _own(draft, "safeguard", id, tuple(SAFEGUARDS)):
        draft.safeguards.append(OwnSafeguard(id.text, name, ask, why, mend, minutes or 0, id.place))


def _own_debt(draft: Draft, id: Scalar, node: Node) -> None:
    fields = Fields(node, draft.faults, "a debt", DEBT_KEYS)
    name, why, undo = (fields.text(key, required=True) for key in DEBT_KEYS)
    if _own(draft, "debt", id, tuple(DEBTS)):
        draft.debts.append(OwnDebt(id.text, name, why, undo, id.place))


def _own(draft: Draft, kind: str, id: Scalar, kernel: tuple[str, ...]) -> bool:
    """Whether an own safeguard or debt may have this id."""
    check_id(draft.faults, id)
    if id.text in kernel:
        draft.faults.add(
            "P223", "'%(id)s' is a %(kind)s of the kernel", "a procedure can add to the kernel's, never replace them",
            "choose another id, or delete it: the kernel asks for its own always", id.place, id=id.text, kind=kind,
        )
        return False
    return draft.claim(kind, id)


def _use(draft: Draft, item: Mapping, inside: tuple[str, ...]) -> None:
    fields = Fields(item, draft.faults, "an item with 'use'", ("use",))
    word = fields.id("use")
    if word is None or not ID.fullmatch(word.text) or not _may_use(draft, word, inside):
        draft.complete = False
        return
    draft.used[word.text] = word.place
    found = draft.find_part(word.text)
    if found is None:
        near = nearest(word.text, draft.parts()) or ""
        draft.complete = False
        draft.faults.add(
            "P224", "there is no part '%(id)s'", "its stages would be missing",
            "write '%(near)s', or make parts/%(id)s.yaml" if near else "correct the id, or write parts/%(id)s.yaml",
            word.place, id=clip(word.text), near=near,
        )
        return
    file, data = found
    draft.files[f"parts/{word.text}.yaml"] = data
    if sum(map(len, draft.files.values())) > MAX_TOTAL:
        draft.complete = False
        draft.faults.add(
            "P228", "the files of this procedure are larger than %(most)s bytes together", "reading them would stall",
            "take out what nobody needs", word.place, most=MAX_TOTAL,
        )
        return
    tree = read_tree(data, file, draft.faults)
    if tree is None:
        draft.complete = False
        return
    _part(draft, tree, file, (*inside, word.text))


def _may_use(draft: Draft, word: Scalar, inside: tuple[str, ...]) -> bool:
    """Whether a part may be brought in here; what is wrong is noted."""
    if word.text in inside:
        ring = " > ".join((*inside[inside.index(word.text):], word.text))
        draft.faults.add(
            "P225", "the parts use each other in a ring: %(ring)s", "there would be no end to them",
            "take one 'use' out of the ring", word.place, ring=ring,
        )
        return False
    if word.text in draft.used:
        draft.faults.add(
            "P226", "the part '%(id)s' is used for the second time, first at %(first)s",
            "each of its steps would stand there twice under one id", "delete one of the two", word.place,
            id=word.text, first=str(draft.used[word.text]),
        )
        return False
    if len(draft.used) >= MAX_PARTS:
        draft.faults.add(
            "P227", "more than %(most)s parts", "no procedure needs so many", "join some of them", word.place,
            most=MAX_PARTS,
        )
        return False
    return True


def _part(draft: Draft, tree: Node, file: str, inside: tuple[str, ...]) -> None:
    fields = Fields(tree, draft.faults, "a part", PART_KEYS)
    if not fields.usable:
        draft.complete = False
    id = fields.id("part", required=True)
    if id:
        same_as_file(draft.faults, id, _stem(file))
    _shared(draft, fields, inside)

