"""Whether a sentence is written as English is: known words, subject and verb of one number, no word or mark twice."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

#: Read as text, for a witness knows nothing of the program.
_TEXTS = [Path(__file__).parents[2] / "matebot" / room for room in ("wording", "method/plans")]
#: Kinds of opposition are put into sentences by their names.
_KINDS = {"direct", "distant", "diagonal"}
_SQUARE = r"[a-h][1-8]"
_SAN = rf"(?:[KQRBN][a-h]?[1-8]?x?{_SQUARE}|(?:[a-h]x)?{_SQUARE}(?:=[QRBN])?)[+#]?"
#: What stands in a sentence besides words: moves, squares, lines and numbers.
_NAMES = re.compile(rf"\b{_SAN}(?![\w])|\b(?:{_SQUARE}|[a-h][1-8]-[a-h][1-8]|[a-h]-file|[a-h]- and|\d+)\b")
_ONE = rf"(?:{_SAN}|[Tt]he (?:king|queen|rook|bishop|knight|pawn)(?: on {_SQUARE})?|(?:White|Black)'s king)"
_VERBS = "last|hold|guard|keep|win|lose|draw|check|come|take|let|mate"
_FAULTS = {
    "one subject with the verb of several": (
        rf"(?<!and )(?<!or )(?<!, )(?<!lets )(?<!let )(?<!moves but )\b{_ONE} (?:{_VERBS})\b"
    ),
    "several subjects with the verb of one": rf"\b{_ONE} and {_ONE} (?:{_VERBS})s\b",
    "one move with the verb of several": rf"\b[Oo]nly {_SAN} win\b",
    "a man without an article": r"(?<!\b[aA] )(?<!\band )(?<!the )\b(?:queen|rook|bishop|knight|pawn) alone\b",
    "a reply answered twice": rf"\b([Ii]f {_SAN}, {_SAN})\b.*\1\b",
    "a number with the wrong form": r"\b1 moves\b|\b(?:[02-9]|\d\d+) move\b(?! )",
    "a word twice": r"\b([a-z]+) \1\b",
    "a mark out of place": r"[,;:] ?[,;:.]| [,;:.]|  |^ |[,;:] ?$",
}


@cache
def _known() -> frozenset[str]:
    """Return the words in the texts of which sentences are made."""
    texts = [
        node.value
        for room in _TEXTS
        for path in room.glob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    words = {word.lower() for text in texts for word in re.findall(r"[A-Za-z']+", text)}
    return frozenset(_KINDS | words | {f"{word}s" for word in words})


@cache
def _of_plans() -> tuple[str, ...]:
    """Return patterns of the texts of the plans; where a name is put in, it may be any."""
    found = list[str]()
    for path in _TEXTS[1].glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.append(re.sub(r"\\{.*?\\}", "[a-z]+", re.escape(node.value)))
            elif isinstance(node, ast.JoinedStr):
                parts = (re.escape(str(p.value)) if isinstance(p, ast.Constant) else "[a-z]+" for p in node.values)
                found.append("".join(parts))
    return tuple(found)


def written_in_plans(text: str) -> bool:
    """Whether a text is one of those of the plans, word for word."""
    return any(re.fullmatch(pattern, text) for pattern in _of_plans())


def ill_written(text: str) -> str:
    """Return what is wrong with a sentence, nothing where nothing is."""
    for fault, pattern in _FAULTS.items():
        if found := re.search(pattern, text):
            return f"{fault}: {found[0]!r} in {text!r}"
    unknown = {word for word in re.findall(r"[A-Za-z']+", _NAMES.sub("", text)) if word.lower() not in _known()}
    return f"no words: {sorted(unknown)} in {text!r}" if unknown else ""
