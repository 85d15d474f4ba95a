"""The package's rooms: who may import whom, read from the source text."""

import ast
from functools import cache
from pathlib import Path

import pytest

import edgecheck

PACKAGE = Path(edgecheck.__file__).parent
# Left to right; rooms of one step do not know each other. `demo` holds data files and is read by the commands only.
STEPS = (
    {"base"},
    {"inputs"},
    {"weather"},
    {"heat"},
    {"roof", "services"},
    {"checks"},
    {"chain"},
    {"advice"},
    {"screening"},
    {"outputs"},
    {"demo"},
    {"cli_options"},
    {"cli"},
    {"__main__"},
)
STEP = {room: step for step, rooms in enumerate(STEPS) for room in rooms}
MODULES = sorted(path for path in PACKAGE.rglob("*.py"))
INSIDE = [path for path in MODULES if path != PACKAGE / "__init__.py"]
MOST_LINES = 400


def label(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def room(path: Path) -> str:
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def imports_of(module: ast.Module) -> list[tuple[str, int]]:
    """Names of imported modules with their lines, wherever they stand; `from a import b` gives a and a.b."""
    found = []
    for node in ast.walk(module):
        if isinstance(node, ast.Import):
            found += [(alias.name, node.lineno) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = "." * node.level + (node.module or "")
            found.append((base, node.lineno))
            found += [(f"{base}.{alias.name}", node.lineno) for alias in node.names]
    return found


def own_rooms(module: ast.Module) -> set[str]:
    """Rooms of the package that a module imports from."""
    names = {name.split(".")[1] for name, _ in imports_of(module) if name.startswith("edgecheck.")}
    return names & set(STEP)


def wrong_rooms(here: str, module: ast.Module) -> set[str]:
    """Rooms a module of `here` imports from and must not: to its right, or another on its own step."""
    return {other for other in own_rooms(module) if other != here and STEP[other] >= STEP[here]}


def packages(module: ast.Module) -> set[str]:
    return {name.split(".")[0] for name, _ in imports_of(module)}


def in_rooms(*rooms: str) -> list[Path]:
    return [path for path in INSIDE if room(path) in rooms]


def test_every_module_stands_in_a_room():
    assert {room(path) for path in INSIDE} <= set(STEP)
    assert len(INSIDE) > 50


@pytest.mark.parametrize("path", INSIDE, ids=label)
def test_imports_come_from_the_left(path):
    assert not wrong_rooms(room(path), tree(path))


def test_the_reader_of_imports_sees_what_it_must():
    text = """
import edgecheck.outputs.pages
def late():
    from edgecheck.roof import load
if TYPE_CHECKING:
    from edgecheck.chain import qualify
from edgecheck import screening
"""
    module = ast.parse(text)
    assert own_rooms(module) == {"outputs", "roof", "chain", "screening"}
    assert wrong_rooms("services", module) == {"outputs", "roof", "chain", "screening"}
    assert wrong_rooms("checks", module) == {"outputs", "chain", "screening"}
    assert packages(ast.parse("from . import sibling")) == {""}


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_no_relative_import(path):
    relative = [n for n in ast.walk(tree(path)) if isinstance(n, ast.ImportFrom) and n.level]
    assert not relative


@pytest.mark.parametrize("path", in_rooms("heat", "roof", "services"), ids=label)
def test_rooms_of_pure_functions_know_no_tables(path):
    assert not packages(tree(path)) & {"pandas", "xarray"}


@pytest.mark.parametrize("path", [path for path in INSIDE if STEP[room(path)] > STEP["inputs"]], ids=label)
def test_records_of_inputs_are_used_and_not_written_elsewhere(path):
    assert "pydantic" not in packages(tree(path))


@pytest.mark.parametrize("path", in_rooms("heat", "roof", "services", "checks", "chain"), ids=label)
def test_rooms_that_compute_touch_no_file(path):
    """No open(), no path of the file system, no reading of package data."""
    calls = {
        node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call)
    }
    assert not calls & {"open", "read_text", "read_bytes", "write_text", "write_bytes", "mkdir"}
    assert not packages(tree(path)) & {"os", "pathlib", "io", "tempfile", "importlib"}


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_a_file_is_a_room(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_names_offered_exist(path):
    """`__all__` names what the module defines or imports at its top level."""
    module = tree(path)
    offered: list[str] = []
    defined: set[str] = set()
    for node in module.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            defined.add(node.name)
        elif isinstance(node, ast.Import | ast.ImportFrom):
            defined |= {(alias.asname or alias.name).split(".")[0] for alias in node.names}
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names = {name.id for target in targets for name in ast.walk(target) if isinstance(name, ast.Name)}
            defined |= names
            if "__all__" in names and isinstance(node.value, ast.List | ast.Tuple):
                offered = [e.value for e in node.value.elts if isinstance(e, ast.Constant)]
    assert set(offered) <= defined
    assert len(set(offered)) == len(offered)


def test_the_public_names_load_and_none_has_the_name_of_a_module():
    modules = {path.stem for path in MODULES} | {path.name for path in PACKAGE.rglob("*") if path.is_dir()}
    for name in edgecheck.__all__:
        assert getattr(edgecheck, name) is not None
        assert name not in modules - {"__init__"}
