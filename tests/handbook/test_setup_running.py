"""Set-up at work: from awkward places, handing over to a child, and what is said when a tool fails.

No test here needs the network. Where a tool's own words matter (pip, npm), the real tool is made to fail.
Source: the tools' own behaviour.
"""

from __future__ import annotations

import errno
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from handbook import console, environment
from handbook.console import Finished, Stop


@pytest.fixture
def scripts(root: Path, tmp_path: Path) -> Path:
    """The commands and what they read, in a folder with a space and an accent in its name."""
    copy = tmp_path / "north field é"
    target = copy / "scripts" / "handbook"
    target.mkdir(parents=True)
    shutil.copy(root / "pyproject.toml", copy)
    shutil.copytree(root / "scripts" / "locks", copy / "scripts" / "locks")
    for script in ("build.py", "test.py"):
        shutil.copy(root / "scripts" / script, copy / "scripts")
    for module in (root / "scripts" / "handbook").glob("*.py"):
        shutil.copy(module, target)
    return copy


def _run_ascii(folder: Path, script: str, *arguments: str, **more: str) -> subprocess.CompletedProcess[bytes]:
    """Run a script under a locale that knows only ASCII, with Python's own ways round it shut off."""
    variables = dict(os.environ) | {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"} | more
    command = [sys.executable, str(folder / "scripts" / script), *arguments]
    return subprocess.run(command, env=variables, capture_output=True, check=False, cwd=folder.parent)


# --- what a person reads when it cannot be done ---


def test_pip_without_a_network_is_explained(tmp_path: Path) -> None:
    # Port 9 of this machine (the discard service of RFC 863) is answered by nobody.
    nowhere = ["--index-url", "http://127.0.0.1:9/simple", "--retries", "1", "--timeout", "3"]
    command = [sys.executable, "-m", "pip", "--isolated", "download", "--no-deps", "wheel", *nowhere]
    done = console.run_quietly(command, tmp_path, console.child_variables())
    with pytest.raises(Stop, match="registry could not be reached"):
        console.expect_success(done, "Installing the Python packages")


def test_pip_with_another_file_than_locked_is_explained(tmp_path: Path) -> None:
    shelf = tmp_path / "shelf"
    shelf.mkdir()
    (shelf / "furrow_trial-1.0-py3-none-any.whl").write_bytes(b"not what was locked")
    lock = tmp_path / "lock.txt"
    lock.write_text(f"furrow-trial==1.0 --hash=sha256:{'0' * 64}\n", "ascii")
    wanted = ["--no-index", "--find-links", str(shelf), "--require-hashes", "-r", str(lock)]
    command = [sys.executable, "-m", "pip", "--isolated", "download", *wanted]
    done = console.run_quietly(command, tmp_path, console.child_variables())
    with pytest.raises(Stop, match="not the one the lock file names"):
        console.expect_success(done, "Installing the Python packages")


def test_npm_without_a_network_is_explained(tmp_path: Path, root: Path, node: Path) -> None:
    for name in ("package.json", "package-lock.json"):
        shutil.copy(root / "scripts" / "locks" / name, tmp_path)
    npm = node.parents[1] / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"
    options = ["--registry=http://127.0.0.1:9/", "--fetch-retries=0", f"--cache={tmp_path / 'cache'}"]
    command = [str(node), str(npm), "ci", "--ignore-scripts", "--no-audit", *options]
    done = console.run_quietly(command, tmp_path, console.child_variables())
    with pytest.raises(Stop, match="registry could not be reached"):
        console.expect_success(done, "Installing the JavaScript packages")


def test_a_full_disk_is_explained_in_the_systems_words() -> None:
    # The text of ENOSPC is the C library's own, which is what pip repeats.
    done = Finished(1, f"ERROR: [Errno {errno.ENOSPC}] {os.strerror(errno.ENOSPC)}")
    with pytest.raises(Stop, match="the disk is full"):
        console.expect_success(done, "Installing the Python packages")


def test_any_other_failure_shows_its_last_lines_and_code() -> None:
    done = Finished(3, "\n".join(f"line {number}" for number in range(20)))
    with pytest.raises(Stop) as stop:
        console.expect_success(done, "Linking the project")
    assert str(stop.value).splitlines()[0] == "Linking the project failed (exit code 3)."
    assert [line.strip() for line in str(stop.value).splitlines()[1:]] == [f"line {n}" for n in range(15, 20)]


def test_a_missing_module_is_not_taken_for_a_missing_network() -> None:
    # npm's ENOTFOUND hides in the name of Python's own error.
    with pytest.raises(Stop) as stop:
        console.expect_success(Finished(1, "ModuleNotFoundError: No module named 'x'"), "Linking the project")
    assert "registry" not in str(stop.value)


def test_a_system_error_is_a_line_without_a_traceback(capsys: pytest.CaptureFixture[str]) -> None:
    def work() -> int:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), "some folder")

    assert console.stoppable(work) == 1
    assert capsys.readouterr().err == f"Stopped: {os.strerror(errno.EACCES)}: some folder.\n"


# --- from awkward places ---


@pytest.mark.parametrize("script", ["build.py", "test.py"])
@pytest.mark.parametrize("option", ["-h", "--help"])
def test_help_needs_no_environment_and_no_locale(scripts: Path, script: str, option: str) -> None:
    done = _run_ascii(scripts, script, option)
    assert done.returncode == 0, done.stderr.decode("utf-8")
    assert done.stderr == b""
    assert f"python3 scripts/{script}" in done.stdout.decode("utf-8")
    assert not (scripts / ".furrowbook").exists()


def test_a_name_beyond_ascii_is_shown_as_it_is(scripts: Path) -> None:
    done = _run_ascii(scripts, "test.py", FURROWBOOK_BROWSER="/no/such/é")
    assert done.returncode == 1
    lines = done.stderr.decode("utf-8").splitlines()
    assert len(lines) == 1
    assert "/no/such/é" in lines[0]
    assert not (scripts / ".furrowbook").exists()


def test_a_real_environment_and_link_work_from_such_a_place(scripts: Path, root: Path) -> None:
    # venv, pip and setuptools themselves, without the network: copies of those that run this test.
    shutil.copytree(root / "calc", scripts / "calc", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(root / "LICENSE", scripts)
    place = environment.place("test", scripts)
    variables = console.child_variables()
    making = [sys.executable, "-m", "venv", "--without-pip", str(place.folder)]
    console.expect_success(console.run_quietly(making, scripts, variables), "venv")
    ours, theirs = Path(pytest.__file__).parents[1], place.node_package.parent
    for name in ("pip", "setuptools", "_distutils_hack", "wheel", "packaging"):
        for part in ours.glob(f"{name}*"):
            if re.fullmatch(rf"{name}(-[\d.]+\.dist-info)?", part.name):
                shutil.copytree(part, theirs / part.name, ignore=shutil.ignore_patterns("__pycache__"))
    environment._install_project(place, scripts, console.run_quietly)
    asking = [
        str(place.python),
        "-P",
        "-c",
        "import calc, handbook; print(calc.__file__); print(handbook.__file__)",
    ]
    done = console.run_quietly(asking, scripts.parent, variables)
    assert done.code == 0, done.output
    found = [Path(line) for line in done.output.splitlines()]
    assert found == [scripts / "calc" / "__init__.py", scripts / "scripts" / "handbook" / "__init__.py"]
    leavings = {path.name for path in scripts.iterdir()}
    assert leavings == {"LICENSE", "pyproject.toml", "calc", "scripts", ".furrowbook"}


# --- handing over ---


@pytest.fixture
def running(tmp_path: Path) -> environment.Environment:
    """The environment these tests run in."""
    return environment.Environment("test", Path(sys.prefix), tmp_path)


def test_the_exit_code_is_the_childs(running: environment.Environment) -> None:
    assert environment.handover(running, "json.tool", ["--help"]) == 0
    assert environment.handover(running, "json.tool", ["--no-such-option"]) == 2


def test_the_child_is_told_where_the_tools_are(
    running: environment.Environment, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    variables = running.variables({"FURROWBOOK_BROWSER": "there"})
    assert variables["FURROWBOOK_NODE"] == str(running.node)
    assert variables["FURROWBOOK_NODE_MODULES"] == str(tmp_path / "node_modules")
    assert variables["FURROWBOOK_BROWSER"] == "there"
    assert variables["PYTHONUTF8"] == variables["NO_MKDOCS_2_WARNING"] == "1"
    assert "PYTHONPATH" not in variables


def test_node_and_npm_are_where_the_environment_says(running: environment.Environment) -> None:
    done = console.run_quietly(
        [str(running.node), str(running.npm), "--version"], Path(sys.prefix), console.child_variables()
    )
    assert done.code == 0, done.output
    assert re.search(r"^\d+\.\d+\.\d+$", done.output, re.M)


def test_the_folder_one_stands_in_lends_no_modules(running: environment.Environment, tmp_path: Path) -> None:
    (tmp_path / "json").mkdir()
    (tmp_path / "json" / "__init__.py").write_text("raise SystemExit(7)\n", "ascii")
    assert environment.handover(running, "json.tool", ["--help"], folder=tmp_path) == 0


def test_a_run_that_is_ended_ends_its_child(tmp_path: Path) -> None:
    waiting = ["-n", "1", "-r", "1", "import os, time; print(os.getpid(), flush=True); time.sleep(60)"]
    parent = (
        "import sys; from pathlib import Path; from handbook import environment as e; "
        f"place = e.Environment('test', Path(sys.prefix), Path({str(tmp_path)!r})); "
        f"sys.exit(e.handover(place, 'timeit', {waiting!r}))"
    )
    with subprocess.Popen([sys.executable, "-c", parent], stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        child = int(process.stdout.readline())
        process.send_signal(signal.SIGTERM)
        assert process.wait(30) == 128 + signal.SIGTERM
    with pytest.raises(ProcessLookupError):
        os.kill(child, 0)


def test_a_killed_set_up_keeps_others_out_until_its_tools_have_ended(tmp_path: Path) -> None:
    lock = tmp_path / "lock"
    waiting = "import os, pathlib, time; pathlib.Path('child').write_text(str(os.getpid())); time.sleep(60)"
    holder = (
        "import sys; from pathlib import Path; from handbook import console, environment as e\n"
        "with e._one_at_a_time(Path('lock'), print):\n"
        f"    console.run_quietly([sys.executable, '-c', {waiting!r}], Path('.'), console.child_variables())"
    )
    with subprocess.Popen([sys.executable, "-c", holder], cwd=tmp_path) as process:
        child = _number_in(tmp_path / "child")
        process.kill()
    with lock.open("a+b") as handle:
        assert not environment._take(handle, wait=False)
        os.kill(child, signal.SIGKILL)
        assert environment._take(handle, wait=True)


def _number_in(path: Path) -> int:
    """The number that another process will have written into a file, within half a minute."""
    for _ in range(600):
        if path.exists() and path.read_text("ascii"):
            return int(path.read_text("ascii"))
        time.sleep(0.05)
    raise AssertionError(f"{path} was not written")
