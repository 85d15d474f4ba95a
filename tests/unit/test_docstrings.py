"""Every module, public class and public function says what it is; parameters named there are the real ones."""

import ast
import re
from pathlib import Path

import pytest

import edgecheck

PACKAGE = Path(edgecheck.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))
_ENTRY = re.compile(r"(?P<names>\*{0,2}\w+(?:, \*{0,2}\w+)*)(?: : .*)?")

Documented = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def label(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def public(module: ast.Module) -> list[tuple[str, Documented]]:
    """Public classes, functions and methods; the members of a protocol are described where they are made."""
    found: list[tuple[str, Documented]] = []
    for node in module.body:
        if not isinstance(node, Documented) or node.name.startswith("_"):
            continue
        found.append((node.name, node))
        if isinstance(node, ast.ClassDef) and "Protocol" not in {ast.unparse(base) for base in node.bases}:
            found += [
                (f"{node.name}.{member.name}", member)
                for member in node.body
                if isinstance(member, ast.FunctionDef) and not member.name.startswith("_")
            ]
    return found


def documented_parameters(text: str) -> set[str]:
    """Names in the Parameters section of a numpydoc docstring."""
    lines = text.splitlines()
    if "Parameters" not in lines:
        return set()
    start = lines.index("Parameters") + 2
    names: set[str] = set()
    for at in range(start, len(lines)):
        line = lines[at]
        if at + 1 < len(lines) and set(lines[at + 1]) == {"-"}:
            break
        entry = _ENTRY.fullmatch(line) if line and not line.startswith(" ") else None
        if entry:
            names |= {name.strip().lstrip("*") for name in entry["names"].split(",")}
    return names


def arguments(node: ast.FunctionDef | ast.AsyncFunctionDef) -> set[str]:
    a = node.args
    given = [*a.posonlyargs, *a.args, *a.kwonlyargs, *filter(None, (a.vararg, a.kwarg))]
    return {argument.arg for argument in given} - {"self", "cls"}


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_module_and_public_names_have_docstrings(path):
    module = ast.parse(path.read_text(encoding="utf-8"))
    lacking = [name for name, node in public(module) if not ast.get_docstring(node)]
    assert ast.get_docstring(module)
    assert not lacking


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_documented_parameters_are_the_real_ones(path):
    module = ast.parse(path.read_text(encoding="utf-8"))
    wrong = {}
    for name, node in public(module):
        if isinstance(node, ast.ClassDef):
            continue
        told = documented_parameters(ast.get_docstring(node) or "")
        if told and told != arguments(node):
            wrong[name] = told ^ arguments(node)
    assert not wrong


def test_the_reader_of_docstrings_sees_sections():
    text = "One.\n\nParameters\n----------\na, b : float\n    Of it. [m]\n*more : int\n\nReturns\n-------\nfloat\n"
    assert documented_parameters(text) == {"a", "b", "more"}
    assert documented_parameters("One line.") == set()
