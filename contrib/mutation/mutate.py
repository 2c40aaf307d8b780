"""Break the decisions of a module one at a time and see whether its tests notice.

    python contrib/mutation/mutate.py plugins/propsoff_checks/failsafe.py tests/checks/test_failsafe.py [more...]

A decision is a comparison, a connective, a negation, a condition, a number, an arithmetic sign, a yes or no, a way
out of a loop, or what a function answers. Texts are not broken: that a sentence reads well is judged by reading it.
Each break runs in a forked process with the module's source replaced at import, so that nothing in the work tree is
touched and several runs go side by side. Prints what survived, with its line, and the score.
"""

from __future__ import annotations

import argparse
import ast
import copy
import importlib
import importlib.abc
import importlib.machinery
import os
import signal
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import CodeType, ModuleType

import pytest

ROOTS = ("daemon", "plugins", "fixtures")
BUDGET_S = 90.0
IMPORTED_ONCE = ("pydantic", "pydantic_settings", "structlog", "serial", "rich", "click", "packaging.version")
OPPOSITES: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}
SIGNS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
}
Break = tuple[str, ast.AST]


def _breaks_of(node: ast.AST) -> Iterator[Break]:
    """Every way to break this one node: what was done in words, and what stands in its place."""
    match node:
        case ast.Compare(ops=[operator]):
            for other in OPPOSITES[type(operator)]:
                yield f"{type(operator).__name__} to {other.__name__}", _with(node, ops=[other()])
        case ast.BoolOp(op=ast.And()):
            yield "and to or", _with(node, op=ast.Or())
        case ast.BoolOp(op=ast.Or()):
            yield "or to and", _with(node, op=ast.And())
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield "not taken away", operand
        case ast.BinOp(op=operator) if type(operator) in SIGNS and not _is_text(node):
            yield f"{type(operator).__name__} to another sign", _with(node, op=SIGNS[type(operator)]())
        case ast.Constant(value=bool() as value):
            yield "the other of yes and no", ast.Constant(not value)
        case ast.Constant(value=int() | float() as value):
            yield f"{value} one more", ast.Constant(value + 1)
        case ast.If() | ast.IfExp() | ast.While():
            yield from _conditions(node)
        case ast.comprehension(ifs=[_, *_]):
            yield "filter taken away", _with(node, ifs=[])
        case ast.Continue():
            yield "continue to break", ast.Break()
        case ast.Break():
            yield "break to continue", ast.Continue()
        case ast.Return(value=value) if value is not None and not (isinstance(value, ast.Constant) and not value.value):
            yield "nothing answered", ast.Return(ast.Constant(None))
        case ast.Expr(value=ast.Yield()):
            yield "yield taken away", ast.Expr(ast.Constant(None))


def _conditions(node: ast.If | ast.IfExp | ast.While) -> Iterator[Break]:
    if not isinstance(node, ast.While):  # a loop without end says nothing that the deadline does not
        yield "condition always", _with(node, test=ast.Constant(True))
    yield "condition never", _with(node, test=ast.Constant(False))


def _with(node: ast.AST, **changes: object) -> ast.AST:
    other = copy.copy(node)
    for name, value in changes.items():
        setattr(other, name, value)
    return other


def _is_text(node: ast.BinOp) -> bool:
    sides = (node.left, node.right)
    return any(isinstance(side, ast.JoinedStr | ast.Constant) and not _is_number(side) for side in sides)


def _is_number(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, int | float)


def _decisions(tree: ast.Module) -> Iterator[tuple[ast.AST, str, int | None]]:
    """Every place in the functions and constants where a node hangs: parent, field, index (None for a single one)."""
    waiting: list[ast.AST] = [tree]
    while waiting:
        parent = waiting.pop()
        for field, value in ast.iter_fields(parent):
            if field in {"annotation", "returns", "decorator_list", "type_params"} or isinstance(parent, ast.JoinedStr):
                continue
            for index, child in enumerate(value) if isinstance(value, list) else [(None, value)]:
                if isinstance(child, ast.AST):
                    yield parent, field, index
                    waiting.append(child)


def mutants(source: str, name: str) -> Iterator[tuple[int, str, CodeType]]:
    """Every broken module in turn: line, what was broken, compiled code.

    Errors:
        SyntaxError: the source is no Python.
    """
    tree = ast.parse(source, name)
    for parent, field, index in list(_decisions(tree)):
        held = getattr(parent, field)
        node = held if index is None else held[index]
        for what, other in _breaks_of(node):
            other = ast.fix_missing_locations(ast.copy_location(other, node))
            _hang(parent, field, index, other)
            try:
                yield _line_of(node, parent), what, compile(tree, name, "exec")
            finally:
                _hang(parent, field, index, node)


def _line_of(node: ast.AST, parent: ast.AST) -> int:
    return int(getattr(node, "lineno", getattr(parent, "lineno", 0)))


def _hang(parent: ast.AST, field: str, index: int | None, node: ast.AST) -> None:
    if index is None:
        setattr(parent, field, node)
    else:
        getattr(parent, field)[index] = node


class _Replaced(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Gives one module other code than its file has."""

    def __init__(self, module: str, path: Path, code: CodeType) -> None:
        self._module, self._path, self._code = module, path, code

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        if fullname != self._module:
            return None
        return importlib.machinery.ModuleSpec(fullname, self, origin=str(self._path))

    def exec_module(self, module: ModuleType) -> None:
        module.__file__ = str(self._path)
        exec(self._code, module.__dict__)  # that is what an import does


def _survives(module: str, path: Path, code: CodeType, tests: list[str]) -> bool:
    """Whether the tests pass on this broken module, in a process of its own."""
    child = os.fork()
    if child == 0:
        os.setpgid(0, 0)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.dup2(1, 2)
        sys.meta_path.insert(0, _Replaced(module, path, code))
        os._exit(_quiet(lambda: int(pytest.main([*tests, "-x", "-q", "-p", "no:cacheprovider", "--timeout=20"]))))
    return _waited(child) == 0


def _quiet(run: Callable[[], int]) -> int:
    try:
        return run()
    except BaseException:  # noqa: BLE001  # whatever a broken module does, it was noticed
        return 1


def _waited(child: int) -> int:
    deadline = time.monotonic() + BUDGET_S
    while time.monotonic() < deadline:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.01)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return 1


def _module_of(path: Path) -> str:
    parts = path.with_suffix("").parts
    return ".".join(parts[1:] if parts[0] in ROOTS else parts)


def main() -> int:
    """Break the module that is named, print the survivors and the score; exit 1 when one in six or more survived."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("module", type=Path)
    asked.add_argument("tests", nargs="+")
    asked.add_argument("--lines", help="only these lines, FIRST-LAST")
    given = asked.parse_args()
    first, last = map(int, (given.lines or "0-1000000").split("-"))
    module, source = _module_of(given.module), given.module.read_text(encoding="utf-8")
    for each in IMPORTED_ONCE:  # the forked processes have them already
        importlib.import_module(each)
    if not _survives(module, given.module.resolve(), compile(source, str(given.module), "exec"), given.tests):
        print("the tests fail on the unbroken module: mend that first")
        return 2
    tried = survived = 0
    for line, what, code in mutants(source, str(given.module)):
        if not first <= line <= last:
            continue
        tried += 1
        if _survives(module, given.module.resolve(), code, given.tests):
            survived += 1
            print(f"{given.module}:{line}: survived: {what}: {source.splitlines()[line - 1].strip()[:90]}", flush=True)
    print(f"{given.module}: {tried - survived} of {tried} noticed, {100 * (tried - survived) / max(1, tried):.0f} %")
    return int(survived > 0.15 * tried)


if __name__ == "__main__":
    sys.exit(main())
