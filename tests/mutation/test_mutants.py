"""The changes that mutation testing makes: each kind is made, and only that."""

from __future__ import annotations

import ast
import gc
import importlib.util
import sys
import tomllib
from pathlib import Path

import pytest

from tests.mutation.mutants import Source
from tests.mutation.trials import change_anew, living

#: What stands in a function, and what it is changed into, one after the other; from memory, the usual ones.
CASES = {
    "return a < b": ["a <= b"],
    "return a == b": ["a != b"],
    "return a and b": ["b", "a"],
    "return a or b or c": ["b or c", "a or c", "a or b"],
    "return a | b": ["a", "b"],
    "return not a": ["a"],
    "return -a": ["a"],
    "return a + b": ["a - b"],
    "return a[1]": ["a[2]"],
    "return True": ["False"],
    "return min(a, b)": ["max(a, b)"],
    "return b if a else c": ["c if a else b"],
    "return [a, b]": ["[b, a]"],
    "return [a, b, a]": [],
    "return [x for x in a if x]": [" for x in a"],
    "a.append(b)": ["pass"],
    "super().f()": ["__class__"],
    "a += 1": ["pass", "a -= 1", "a += 2"],
    "return 'word'": ["'word?'"],
    "return 'more than one word'": [],
    "return a in (b, c)": ["a not in (b, c)"],
    "return a == b in (b, c)": ["a != b in (b, c)", "a == b not in (b, c)"],
    "return any(x for x in (a, b))": ["all((x for x in (a, b)))"],
    "return [x for x in (a, b)]": [" for x in (b, a)"],
    "return sorted((a, b))": [],
    "return sorted((a, b), key=c)": ["sorted((b, a), key=c)"],
    "return list[tuple[int, str]]()": [],
    "return isinstance(a, (b, c))": [],
    "assert a < 1": [],
    "return zip(a, b, strict=True)": [],
    "return zip(a, b, strict=False)": ["strict=True"],
    "raise ValueError(1)": [],
    "a: tuple[int, str] = b": [],
    "Name = First | Second | tuple[int, str]": [],
    "Name = Mapping[First, Second]": [],
    "MASK = FIRST | SECOND": ["FIRST", "SECOND"],
}


def function_with(statement: str) -> str:
    return f'def f(a: int, b: int = c) -> tuple[int, str]:\n    """Take 1 < 2."""\n    {statement}\n'


@pytest.mark.parametrize("statement", CASES)
def test_a_statement_is_changed_in_the_ways_named_and_no_others(statement: str) -> None:
    mutants = Source(function_with(statement), "f.py").mutants
    assert [mutant.key.split(" -> ")[-1] for mutant in mutants] == CASES[statement]
    assert all(mutant.lines == (3, 3) and not mutant.at_import for mutant in mutants)


@pytest.mark.parametrize("statement", CASES)
def test_a_change_is_made_in_the_code_and_taken_back(statement: str) -> None:
    source = Source(function_with(statement), "f.py")
    plain, text = source.compiled(), ast.unparse(source.tree)
    for mutant in source.mutants:
        assert source.compiled(mutant) != plain
        assert ast.unparse(source.tree) == text


def test_changes_that_read_alike_have_different_names() -> None:
    keys = [mutant.key for mutant in Source("x = a < b\ny = a < b\n", "m.py").mutants]
    assert keys == ["module: a < b -> a <= b", "module: a < b -> a <= b #2"]


def test_a_constant_of_the_module_has_no_order_where_it_is_only_looked_into() -> None:
    text = "_NAMES = (a, b)\n\n\ndef f(x):\n    return x.startswith(_NAMES) or any(y for y in _NAMES) or x in _NAMES\n"
    reversed_ = "module: (a, b) -> (b, a)"
    assert reversed_ not in [mutant.key for mutant in Source(text, "m.py").mutants]
    assert reversed_ in [mutant.key for mutant in Source(text.replace("_NAMES", "NAMES"), "m.py").mutants]
    assert reversed_ in [mutant.key for mutant in Source(f"{text}\n\nx = list(_NAMES)\n", "m.py").mutants]


def test_what_stands_outside_functions_is_known_to_run_at_import() -> None:
    mutants = Source("LIMIT = 50\n\n\ndef f(a=1):\n    return a < LIMIT\n", "m.py").mutants
    assert [(mutant.lines[0], mutant.at_import) for mutant in mutants] == [(1, True), (4, True), (5, False)]


def test_functions_and_classes_that_are_called_at_import_are_known() -> None:
    text = (
        "def f():\n    return C()\n\n\nclass C:\n    x = g()\n\n\ndef h():\n    return 2\n\n\nX = [f() for _ in h.x]\n"
    )
    text = f"def g():\n    return 1\n\n\n{text}"
    assert Source(text, "m.py").called_at_import == {"f", "C", "g", "h"}
    assert Source(text.replace("h.x", "'x'"), "m.py").called_at_import == {"f", "C", "g"}
    assert Source(text.replace("[f()", "[0"), "m.py").called_at_import == {"h"}


def test_every_change_named_equivalent_is_a_change_of_its_module() -> None:
    named = tomllib.loads(Path(__file__).with_name("equivalent.toml").read_text(encoding="utf-8"))
    for path, reasons in named.items():
        assert reasons.keys() <= {mutant.key for mutant in Source.of(path).mutants}, path


def test_functions_are_found_alive_though_searches_for_garbage_leave_them_out() -> None:
    gc.freeze()
    functions, _ = living(__file__)
    gc.freeze()
    assert function_with in functions


def test_a_module_that_is_loaded_anew_has_the_change_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "loaded_anew_here.py"
    path.write_text("def f():\n    return 1\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    importlib.import_module(path.stem)
    source = Source(path.read_text(), str(path))
    change_anew(source, source.mutants[0], path.stem)
    spec = importlib.util.find_spec(path.stem)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.f() == 2
    monkeypatch.delitem(sys.modules, path.stem)
