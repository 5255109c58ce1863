"""`calc` stands on the standard library alone, without clock or chance, and sums floats exactly."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

# What `calc` may import. A name is added here by decision, not to quieten a test: each goes into the page.
ALLOWED = {
    "__future__",
    "calc",
    "collections",
    "csv",
    "dataclasses",
    "decimal",
    "difflib",
    "enum",
    "fractions",
    "functools",
    "html",
    "importlib",
    "inspect",
    "io",
    "itertools",
    "json",
    "math",
    "operator",
    "os",
    "pathlib",
    "pkgutil",
    "re",
    "signal",
    "sys",
    "types",
    "typing",
}
ONLY_ON_THE_COMMAND_LINE = {"io", "os", "pathlib", "signal", "sys"}
# What these may not bring along: clocks, chance, the network. (Python itself starts with `time`.)
UNWANTED = {
    "_random",
    "_socket",
    "_ssl",
    "asyncio",
    "calendar",
    "ctypes",
    "datetime",
    "email",
    "http",
    "locale",
    "logging",
    "multiprocessing",
    "random",
    "secrets",
    "socket",
    "sqlite3",
    "ssl",
    "statistics",
    "subprocess",
    "tempfile",
    "threading",
    "urllib.request",
    "uuid",
    "xml",
    "zoneinfo",
}
CALC = Path(__file__).resolve().parents[2] / "calc"
MODULES = sorted(CALC.rglob("*.py"))
TREES = {path: ast.parse(path.read_text(encoding="utf-8")) for path in MODULES}
NAMES = [path.relative_to(CALC).as_posix() for path in MODULES]

LOAD_EVERYTHING = """
import sys
before = set(sys.modules)
sys.path.insert(0, sys.argv[1])
import pkgutil, importlib, json
import calc
names = ["calc", *(found.name for found in pkgutil.walk_packages(calc.__path__, "calc."))]
for name in names:
    importlib.import_module(name)
from calc.reply import warm_up
warm_up()
print(json.dumps({"calc": names, "loaded": sorted(set(sys.modules) - before)}))
"""


@pytest.fixture(scope="module")
def loaded() -> dict[str, list[str]]:
    """The modules there are after importing all of `calc` with no site packages, and running it once."""
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", LOAD_EVERYTHING, str(CALC.parent)],
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert isinstance(found, dict)
    return found


def test_every_module_imports_with_the_standard_library_alone(loaded: dict[str, list[str]]) -> None:
    expected = {
        ".".join(["calc", *path.relative_to(CALC).with_suffix("").parts]).removesuffix(".__init__")
        for path in MODULES
    }
    assert set(loaded["calc"]) == expected
    foreign = {name.partition(".")[0] for name in loaded["loaded"]} - set(sys.stdlib_module_names) - {"calc"}
    assert not foreign


def test_nothing_unwanted_comes_along(loaded: dict[str, list[str]]) -> None:
    assert {"calc.reply", "json", "decimal"} <= set(loaded["loaded"])  # the list is of what was loaded
    assert not UNWANTED & set(loaded["loaded"])


def imports(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            yield str(node.module)


@pytest.mark.parametrize("path", MODULES, ids=NAMES)
def test_imports_are_on_the_list(path: Path) -> None:
    tops = {name.partition(".")[0] for name in imports(TREES[path])}
    assert not tops - ALLOWED
    if path.name != "__main__.py":
        assert not tops & ONLY_ON_THE_COMMAND_LINE


def faults(tree: ast.AST) -> list[str]:
    """Calls that give other figures on another machine or Python, or read text too freely."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute | ast.Name):
            name = node.attr if isinstance(node, ast.Attribute) else node.id
            if name in ("cbrt", "hash", "eval", "exec", "__import__"):
                found.append(f"{name}, line {node.lineno}")
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id == "sum":
                found.append(f"sum, line {node.lineno}: math.fsum, or len or count for whole numbers")
            if node.func.id == "float" and node.args and is_text(node.args[0]):
                found.append(f"float on text, line {node.lineno}: calc.number reads numbers")
    return found


TEXT_NAMES = {
    "example",
    "given",
    "low",
    "high",
    "name",
    "number_text",
    "raw",
    "shown",
    "spelling",
    "text",
    "word",
    "written",
}
TEXT_METHODS = {
    "strip",
    "lstrip",
    "rstrip",
    "replace",
    "removesuffix",
    "removeprefix",
    "join",
    "group",
    "partition",
}


def is_text(node: ast.expr) -> bool:
    """Whether an expression is text, or is named as our texts are."""
    if isinstance(node, ast.Name):
        return node.id in TEXT_NAMES
    if isinstance(node, ast.Attribute):
        return node.attr in TEXT_NAMES
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        return node.func.attr in TEXT_METHODS
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return node.func.id == "str"
    return isinstance(node, ast.JoinedStr | ast.Subscript) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


@pytest.mark.parametrize("path", MODULES, ids=NAMES)
def test_no_call_that_differs_between_machines(path: Path) -> None:
    found = faults(TREES[path])
    if path == CALC / "number.py":  # `settle` reads back what it has just written
        assert len(found) == 1 and found[0].startswith("float on text")
    else:
        assert not found


@pytest.mark.parametrize(
    "wrong",
    [
        "sum(x)",
        "math.cbrt(2.0)",
        "cbrt(2.0)",
        "float(text)",
        "float(one.example)",
        "float(text.strip())",
        "float('1_000')",
        "float(f'{x}')",
        "float(row['speed'])",
        "hash(x)",
    ],
)
def test_the_check_itself_finds_what_is_wrong(wrong: str) -> None:
    assert len(faults(ast.parse(wrong))) == 1


def test_the_check_itself_lets_sound_code_pass() -> None:
    assert not faults(
        ast.parse("math.fsum(x); float(figure); float(exact(text, kind)); len(x); float(in_unit(v, u))")
    )
