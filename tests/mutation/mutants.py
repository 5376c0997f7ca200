"""Small changes of meaning to the source of a module, one at a time.

What has no meaning when the program runs is left alone: docstrings, annotations, imports, assertions, with them those
of `zip` that both are as long, and texts of more than one word.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType
from typing import Any

_COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Add,
    ast.FloorDiv: ast.Mult,
    ast.Div: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
}
_TWINS = {"min": "max", "max": "min", "any": "all", "all": "any"}
#: Slots that say nothing at run time, or that are changed with the node they belong to.
_SILENT = {"annotation", "returns", "ctx", "op", "ops", "type_comment", "type_params"}
_SKIPPED = (ast.Import, ast.ImportFrom, ast.Assert, ast.Raise)
#: What is called with things whose order means nothing.
_ORDERLESS = ("isinstance", "frozenset", "set", "startswith", "endswith", "any", "all", "sum", "sorted")
#: What holds a change and is short enough to be shown with it.
_SHOWN = (ast.expr, ast.keyword, ast.comprehension, ast.AugAssign)
_GENERIC = ("tuple", "list", "dict", "Callable", "Mapping", "NDArray")
_MEMBERSHIP = (ast.In, ast.NotIn)
_EQUALITIES = (ast.Eq, ast.NotEq, ast.Is, ast.IsNot, ast.In, ast.NotIn)


@dataclass(frozen=True)
class Edit:
    """New content for a slot of a node; `place` where the slot is a list."""

    owner: ast.AST
    slot: str
    place: int | None
    new: Any

    @property
    def content(self) -> Any:
        """What stands in the slot."""
        held = getattr(self.owner, self.slot)
        return held if self.place is None else held[self.place]

    def put(self, content: Any) -> None:
        """Put something into the slot."""
        if self.place is None:
            setattr(self.owner, self.slot, content)
        else:
            getattr(self.owner, self.slot)[self.place] = content


@dataclass(frozen=True)
class Mutant:
    """One change of meaning.

    Attributes
    ----------
    key : function, what stood there and what stands there now; the same as long as the function is the same
    lines : first and last line of the statement that is changed
    at_import : whether that statement runs when the module is imported, not when a function is called
    """

    key: str
    lines: tuple[int, int]
    at_import: bool
    edit: Edit = field(compare=False, repr=False)


class Source:
    """The source of a module and its mutants.

    Parameters
    ----------
    words : whether texts of one word are changed too; not where texts are what the module is about
    """

    def __init__(self, text: str, path: str, words: bool = True) -> None:
        self.path = path
        self.words = words
        self.tree = ast.parse(text)
        self._above = {part: node for node in ast.walk(self.tree) for part in ast.iter_child_nodes(node)}
        self._orderless = set(self._names_without_order())
        self._seen: Counter[str] = Counter()
        self._names: list[str] = []
        self._depth = 0  # of functions
        self._lines = (0, 0)
        self.mutants = list(self._block(self.tree, "body"))
        #: The functions and classes that what runs at import may call.
        self.called_at_import = _called_at_import(self.tree)

    @classmethod
    def of(cls, path: str) -> Source:
        """Read a module; words of `wording` are left alone."""
        full = Path(path).resolve()
        return cls(full.read_text(encoding="utf-8"), str(full), words="wording" not in path)

    def compiled(self, mutant: Mutant | None = None) -> CodeType:
        """Return the code of the module, with a change made."""
        if mutant is None:
            return compile(self.tree, self.path, "exec", dont_inherit=True)
        old = mutant.edit.content
        mutant.edit.put(mutant.edit.new)
        try:
            return compile(self.tree, self.path, "exec", dont_inherit=True)
        finally:
            mutant.edit.put(old)

    def _block(self, owner: ast.AST, slot: str) -> Iterator[Mutant]:
        """Find the changes to the statements of a block."""
        for place, statement in enumerate(getattr(owner, slot)):
            if isinstance(statement, _SKIPPED) or _is_text(statement) or _is_for_hints(statement):
                continue
            before, self._lines = self._lines, _own_lines(statement)
            if _can_go(statement):
                yield self._mutant(statement, Edit(owner, slot, place, _nothing_for(statement)))
            if isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
                yield from self._definition(statement)
            else:
                yield from self._within(statement)
            self._lines = before

    def _definition(self, statement: ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef) -> Iterator[Mutant]:
        is_function = not isinstance(statement, ast.ClassDef)
        arguments = [] if isinstance(statement, ast.ClassDef) else [statement.args]
        decorators = [node for node in statement.decorator_list if not ast.unparse(node).startswith("dataclass")]
        for node in (*decorators, *arguments):
            yield from self._within(node)
        self._names.append(statement.name)
        self._depth += is_function
        yield from self._block(statement, "body")
        self._depth -= is_function
        self._names.pop()

    def _within(self, owner: ast.AST) -> Iterator[Mutant]:
        """Find the changes to what a node holds, and below."""
        self._depth += isinstance(owner, ast.Lambda)
        for slot in owner._fields:
            content = getattr(owner, slot, None)
            if slot in _SILENT or (slot == "func" and isinstance(content, ast.Name)) or _asserts(owner):
                continue
            parts = content if isinstance(content, list) else [content]
            if parts and isinstance(parts[0], ast.stmt):
                yield from self._block(owner, slot)
                continue
            for place, node in enumerate(parts):
                if isinstance(node, ast.AST):
                    for edit in self._changes(node, owner, slot, place if isinstance(content, list) else None):
                        yield self._mutant(node, edit)
                    yield from self._within(node)
        self._depth -= isinstance(owner, ast.Lambda)

    def _names_without_order(self) -> Iterator[str]:
        """Yield the module's own constants that stand only where the order of what they hold means nothing."""
        loads: dict[str, list[ast.Name]] = {}
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
                loads.setdefault(node.id, []).append(node)
        for statement in self.tree.body:
            target = statement.targets[0] if isinstance(statement, ast.Assign) else getattr(statement, "target", None)
            if isinstance(target, ast.Name) and target.id.startswith("_") and not target.id.startswith("__"):
                places = loads.get(target.id, [])
                if places and all(map(self._has_no_order, places)):
                    yield target.id

    def _has_no_order(self, node: ast.AST) -> bool:
        """Whether a display, or a name of one, stands where the order of what it holds means nothing."""
        above = self._above.get(node)
        match above:
            case ast.Compare():
                asked = [op for op, part in zip(above.ops, above.comparators, strict=True) if part is node]
                return any(isinstance(op, _MEMBERSHIP) for op in asked)
            case ast.Call():
                called = getattr(above.func, "id", getattr(above.func, "attr", ""))
                return node is not above.func and called in _ORDERLESS and not above.keywords
            case ast.comprehension():
                made = self._above[above]
                return isinstance(made, ast.SetComp) or (
                    node is above.iter and isinstance(made, ast.GeneratorExp) and self._has_no_order(made)
                )
            case ast.Subscript():
                return node is above.slice and isinstance(above.value, ast.Name) and above.value.id in _GENERIC
            case ast.Assign(targets=[ast.Name(id=name)]):
                return name in getattr(self, "_orderless", ())
        return False

    def _changes(self, node: ast.AST, owner: ast.AST, slot: str, place: int | None) -> Iterator[Edit]:
        """Return the changes to one node itself."""
        if isinstance(node, ast.Tuple | ast.List) and self._has_no_order(node):
            return
        for new in _replacements(node, owner, self.words):
            yield Edit(owner, slot, place, ast.fix_missing_locations(ast.copy_location(new, node)))
        match node:
            case ast.Compare():
                for number, op in enumerate(node.ops):
                    yield Edit(node, "ops", number, _COMPARISONS[type(op)]())
            case ast.comprehension():
                for number in range(len(node.ifs)):
                    yield Edit(node, "ifs", None, node.ifs[:number] + node.ifs[number + 1 :])
            case ast.BinOp() if type(node.op) in _OPERATORS and not _is_text_work(node):
                yield Edit(node, "op", None, _OPERATORS[type(node.op)]())
        if isinstance(owner, ast.AugAssign) and slot == "target" and type(owner.op) in _OPERATORS:
            yield Edit(owner, "op", None, _OPERATORS[type(owner.op)]())

    def _mutant(self, node: ast.AST, edit: Edit) -> Mutant:
        """Name a change by what it shows; a second one of the same words gets a number."""
        old, owner = edit.content, edit.owner
        shown: ast.AST | None = owner if isinstance(owner, _SHOWN) else None
        if isinstance(owner, ast.JoinedStr | ast.FormattedValue) or (shown and len(ast.unparse(shown)) > 100):
            shown = node if owner is node else None
        before = ast.unparse(shown or old)
        edit.put(edit.new)
        after = ast.unparse(shown or edit.new)
        edit.put(old)
        key = f"{'.'.join(self._names) or 'module'}: {before} -> {after}"
        self._seen[key] += 1
        number = self._seen[key]
        at_import = not self._depth or isinstance(owner, ast.arguments)
        return Mutant(key if number == 1 else f"{key} #{number}", self._lines, at_import, edit)


def _replacements(node: ast.AST, owner: ast.AST, words: bool) -> Iterator[ast.expr]:
    """Return what a node may be replaced by."""
    match node:
        case ast.Constant(value=bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(value=int(value) | float(value)):
            yield ast.Constant(value + 1)
        case ast.Constant(value=str(value)) if (
            words and len(value.split()) == 1 and not isinstance(owner, ast.JoinedStr)
        ):
            yield ast.Constant(f"{value}?")
        case ast.BoolOp():
            for number in range(len(node.values)):
                rest = node.values[:number] + node.values[number + 1 :]
                yield rest[0] if len(rest) == 1 else ast.BoolOp(node.op, rest)
        case ast.BinOp(op=ast.BitOr() | ast.BitAnd() | ast.BitXor()):
            yield node.left
            yield node.right
        case ast.UnaryOp(op=ast.Not() | ast.USub() | ast.Invert()):
            yield node.operand
        case ast.IfExp() if not _is_turned_anyway(node.test):
            yield ast.IfExp(node.test, node.orelse, node.body)
        case ast.Call(func=ast.Name(id=name)) if name in _TWINS:
            yield ast.Call(ast.copy_location(ast.Name(_TWINS[name], ast.Load()), node), node.args, node.keywords)
        case ast.Call(func=ast.Name(id="reversed" | "abs"), args=[only]):
            yield only
        case ast.Tuple(ctx=ast.Load()) | ast.List(ctx=ast.Load()) if not _is_the_same_turned(node.elts):
            yield type(node)(elts=node.elts[::-1], ctx=ast.Load())
    if isinstance(owner, ast.If | ast.While) and node is owner.test and not _is_turned_anyway(node):
        yield ast.UnaryOp(ast.Not(), owner.test)


def _nothing_for(statement: ast.stmt) -> ast.stmt:
    """Return what does nothing in place of a statement; the code of a living function keeps what `super` needs."""
    called = {node.id for node in ast.walk(statement) if isinstance(node, ast.Name)}
    nothing = ast.Expr(ast.Name("__class__", ast.Load())) if "super" in called else ast.Pass()
    return ast.fix_missing_locations(ast.copy_location(nothing, statement))


def _is_the_same_turned(parts: list[ast.expr]) -> bool:
    """Whether parts are the same from the last to the first."""
    texts = [ast.dump(part) for part in parts]
    return texts == texts[::-1]


def _asserts(node: ast.AST) -> bool:
    """Whether a keyword only asserts that what is gone through together is as long."""
    match node:
        case ast.keyword(arg="strict", value=ast.Constant(value=True)):
            return True
    return False


def _called_at_import(tree: ast.Module) -> frozenset[str]:
    """Return the functions and classes of a module that its statements outside them name, and those these name."""
    definitions = ast.FunctionDef | ast.ClassDef
    bodies = {node.name: node for node in tree.body if isinstance(node, definitions)}
    found, fresh = set[str](), [node for node in tree.body if not isinstance(node, definitions)]
    while fresh:
        names = {node.id for part in fresh for node in ast.walk(part) if isinstance(node, ast.Name)}
        fresh = [bodies[name] for name in names & bodies.keys() - found]
        found |= names & bodies.keys()
    return frozenset(found)


def _is_turned_anyway(test: ast.AST) -> bool:
    """Whether one of the changes to a condition turns it round."""
    if isinstance(test, ast.Compare):
        return len(test.ops) == 1 and isinstance(test.ops[0], _EQUALITIES)
    return isinstance(test, ast.UnaryOp) and isinstance(test.op, ast.Not)


def _is_text_work(node: ast.BinOp) -> bool:
    """Whether an operator joins or fills in texts; turned into arithmetic it could only fail."""
    sides = (node.left, node.right)
    return any(isinstance(side, ast.JoinedStr) or isinstance(getattr(side, "value", None), str) for side in sides)


def _is_text(statement: ast.stmt) -> bool:
    return isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)


def _is_for_hints(statement: ast.stmt) -> bool:
    """Whether a statement only serves type hints."""
    if isinstance(statement, ast.If):
        return isinstance(statement.test, ast.Name) and statement.test.id == "TYPE_CHECKING"
    if not isinstance(statement, ast.Assign):
        return False
    return _is_alias(statement.value) or ast.unparse(statement.targets[0]) in ("__all__", "__slots__")


def _is_alias(value: ast.expr) -> bool:
    """Whether a value is the name of a type: ``tuple[int, str]``, or classes side by side."""
    if isinstance(value, ast.BinOp) and isinstance(value.op, ast.BitOr):
        return _is_alias(value.left) and _is_alias(value.right)
    if isinstance(value, ast.Subscript):
        return ast.unparse(value.value) in _GENERIC
    return isinstance(value, ast.Name) and value.id != value.id.upper() and value.id[0].isupper()


def _can_go(statement: ast.stmt) -> bool:
    """Whether a statement may be left out without a name being missing."""
    if isinstance(statement, ast.Assign):
        return all(isinstance(target, ast.Subscript | ast.Attribute) for target in statement.targets)
    return isinstance(statement, ast.Expr | ast.AugAssign | ast.Break | ast.Continue | ast.Delete)


def _own_lines(statement: ast.stmt) -> tuple[int, int]:
    """Return the lines of a statement without those of its blocks."""
    body = getattr(statement, "body", None)
    last = statement.end_lineno or statement.lineno
    if isinstance(body, list) and body:
        last = max(statement.lineno, min(part.lineno for part in body) - 1)
    cases = getattr(statement, "cases", None)
    if cases:
        last = cases[0].pattern.lineno - 1
    return statement.lineno, last
