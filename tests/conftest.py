"""What all tests share: where the tools are, and random inputs that are the same on every run."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from collections.abc import Generator
from pathlib import Path

import pytest
from hypothesis import settings

from handbook.build import build

# Same inputs each time, so that a failure can be met again; no deadline, for the machine may be busy.
settings.register_profile("furrowbook", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("furrowbook")


def _tool(name: str) -> Path:
    value = os.environ.get(name)
    if not value:
        pytest.fail(f"{name} is not set. Run the tests with: python3 scripts/test.py", pytrace=False)
    return Path(value)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What needs no browser comes first: of two workers one does that while the other builds the site."""
    items.sort(key=lambda item: "browser" in item.path.parts)


@pytest.fixture(scope="session")
def root() -> Path:
    """The top of the repository."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def node() -> Path:
    """The pinned Node of the environment."""
    return _tool("FURROWBOOK_NODE")


@pytest.fixture(scope="session")
def node_modules() -> Path:
    """The folder of the pinned JavaScript packages."""
    return _tool("FURROWBOOK_NODE_MODULES")


@pytest.fixture(scope="session")
def site(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site, built once for all workers of a run."""
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    claim, ready, failed = (shared / f"site.{word}" for word in ("claim", "ready", "failed"))
    try:
        claim.mkdir()
    except FileExistsError:
        while not (ready.exists() or failed.exists()):
            time.sleep(0.1)
    else:
        try:
            build(root, shared / "site")
        except BaseException as error:
            failed.write_text(str(error), encoding="utf-8")
            raise
        ready.touch()
    if failed.exists():
        pytest.fail(f"the site could not be built: {failed.read_text(encoding='utf-8')}", pytrace=False)
    return shared / "site"


def _no_skip(report: pytest.TestReport | pytest.CollectReport) -> None:
    if report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = "skipped: a test that does not run checks nothing, so here it fails"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Count a skipped test as failed."""
    report = yield
    _no_skip(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Count a file that skips itself whole as failed."""
    report = yield
    _no_skip(report)
    return report


# Put before Python that is to be stopped as by hand: a shell that runs the tests in the background lets what
# it starts ignore Ctrl+C, and a terminal does not.
HEARS_CTRL_C = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "


def stopped(process: subprocess.Popen[bytes], told: signal.Signals, patience: float = 60.0) -> int:
    """Tell a process to stop; the code it ends with. One that does not end is killed, and the test fails."""
    process.send_signal(told)
    try:
        return process.wait(patience)
    except subprocess.TimeoutExpired:
        process.kill()
        raise
