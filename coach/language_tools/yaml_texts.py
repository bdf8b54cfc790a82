"""Takes the texts out of YAML files: procedures, parts, cards, drills, and whatever else holds the same keys.

Rules kept here:
 1. A text is the plain value of a text key, an item of a list of lines, or the label of an option. Ids, formulas and
    quantities are none.
 2. Blanks at its ends and line breaks in it count no more than they do for the reader that loads the file.
Knows nothing of: catalogues, what a procedure means. Called by Babel, by its name in pyproject.toml, and by `sources`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import IO, Any

import yaml

from coach.language_tools.python_texts import Found

TEXT_KEYS = frozenset(
    {
        "title",
        "purpose",
        "about",
        "ask",
        "how",
        "do",
        "why",
        "right",
        "wrong",
        "text",
        "says",
        "name",
        "mend",
        "undo",
        "finds",
        "sees",
        "shows",
        "signs",
        "caption",
        "means",
        "note",
        "question",
        "answer",
        "explains",
    }
)
LIST_KEYS = frozenset({"lines"})
LABEL_KEYS = frozenset({"options"})


def extract_yaml(
    fileobj: IO[bytes], keywords: Collection[str], comment_tags: Collection[str], options: Mapping[str, Any]
) -> Iterator[Found]:
    """The texts of a YAML file as Babel takes them: line, function, text, comments (where in the file it stands).

    Raises:
        yaml.YAMLError: the file is no YAML.
    """
    tree = yaml.compose(fileobj.read(), Loader=yaml.SafeLoader)
    if tree is not None:
        yield from _walk(tree, "", "")


def _walk(node: yaml.Node, key: str, path: str) -> Iterator[Found]:
    if isinstance(node, yaml.MappingNode):
        here = _named(node, path)
        for name, value in node.value:
            below = str(name.value)
            if key in LABEL_KEYS and isinstance(value, yaml.ScalarNode):
                yield _text(value, here)
            else:
                yield from _walk(value, below, here)
    elif isinstance(node, yaml.SequenceNode):
        for item in node.value:
            if key in LIST_KEYS and isinstance(item, yaml.ScalarNode):
                yield _text(item, path)
            else:
                yield from _walk(item, key if key not in TEXT_KEYS else "", path)
    elif isinstance(node, yaml.ScalarNode) and key in TEXT_KEYS and node.value.strip() and not _is_id(key, node.value):
        yield _text(node, f"{path} {key}".strip())


def _is_id(key: str, value: str) -> bool:
    """Whether `about` says which step or safeguard a line of a drill is about, in place of telling about the drill."""
    return key == "about" and " " not in value.strip()


def _named(node: yaml.MappingNode, path: str) -> str:
    """The path with the id of this mapping, if it says its id: 'weld-hem'."""
    for name, value in node.value:
        if name.value in ("procedure", "part", "card", "drill", "step", "stage") and isinstance(value, yaml.ScalarNode):
            return str(value.value)
    return path


def _text(node: yaml.ScalarNode, path: str) -> Found:
    return node.start_mark.line + 1, "_", str(node.value).strip(), [path] if path else []
