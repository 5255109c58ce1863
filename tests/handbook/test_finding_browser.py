"""Finding the browser the tests drive. Nothing is installed here: the commands are only noted.

Sources: Debian's package `chromium`; the usual places of Chromium, Chrome and Edge, from common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest

from handbook.chromium import find_browser
from handbook.console import Finished, Stop


def _no_command(command: Sequence[str], folder: Path, variables: Mapping[str, str]) -> Finished:
    raise AssertionError(f"a command was run: {command}")


def _only(*known: str) -> Callable[[str], str | None]:
    return lambda name: f"/usr/bin/{name}" if name in known else None


def _refused(**how: object) -> str:
    with pytest.raises(Stop) as stop:
        find_browser(**how)  # type: ignore[arg-type]
    assert "\n" not in str(stop.value)
    return str(stop.value)


def test_the_one_named_comes_first(tmp_path: Path) -> None:
    mine = tmp_path / "my browser é"
    mine.touch()
    assert find_browser({"FURROWBOOK_BROWSER": str(mine)}, _only("chromium"), _no_command) == mine


@pytest.mark.parametrize("name", ["nowhere", "."])
def test_one_named_that_is_not_there_stops_even_beside_another(tmp_path: Path, name: str) -> None:
    named = str(tmp_path / name)
    line = _refused(
        variables={"FURROWBOOK_BROWSER": named}, which=_only("chromium"), run=_no_command, root_user=True
    )
    assert line.startswith(f"FURROWBOOK_BROWSER names {named}")


@pytest.mark.parametrize("name", ["chromium", "google-chrome", "microsoft-edge"])
def test_one_on_the_path_is_found_without_a_command(name: str) -> None:
    assert find_browser({}, _only(name), _no_command) == Path("/usr/bin", name)


def test_one_in_a_usual_place_of_windows_is_found(tmp_path: Path) -> None:
    # Under other systems a backslash is part of the name: the same text must be found, whichever it is.
    place = tmp_path / r"Microsoft\Edge\Application\msedge.exe"
    place.parent.mkdir(parents=True, exist_ok=True)
    place.touch()
    found = find_browser({"LOCALAPPDATA": str(tmp_path)}, _only(), _no_command, False, "win32")
    assert found == place


@pytest.mark.parametrize(("root_user", "known"), [(False, ("apt-get",)), (True, ()), (False, ())])
def test_where_it_may_not_install_it_says_what_to_install(root_user: bool, known: tuple[str, ...]) -> None:
    line = _refused(variables={}, which=_only(*known), run=_no_command, root_user=root_user, system="linux")
    assert "install Chromium, Chrome or Edge" in line
    assert "apt-get install chromium" in line
    assert "FURROWBOOK_BROWSER" in line


class Debian:
    """Stands in for a machine on which apt-get answers with `code`."""

    def __init__(self, code: int, brings: tuple[str, ...]) -> None:
        self.code = code
        self.brings = brings
        self.known: tuple[str, ...] = ("apt-get",)
        self.commands: list[Sequence[str]] = []

    def which(self, name: str) -> str | None:
        return _only(*self.known)(name)

    def run(self, command: Sequence[str], folder: Path, variables: Mapping[str, str]) -> Finished:
        self.commands.append(command)
        assert variables["DEBIAN_FRONTEND"] == "noninteractive"
        if "install" in command and self.code == 0:
            self.known += self.brings
        return Finished(self.code, "E: Unable to locate package chromium" if self.code else "")


def test_root_on_debian_gets_its_package() -> None:
    machine = Debian(0, ("chromium",))
    assert find_browser({}, machine.which, machine.run, True, "linux") == Path("/usr/bin/chromium")
    assert [command[0] for command in machine.commands] == ["/usr/bin/apt-get"] * 2
    assert machine.commands[0][-1] == "update"
    assert machine.commands[1][-1] == "chromium"


def test_a_package_that_cannot_be_had_stops_with_the_reason() -> None:
    machine = Debian(100, ())
    with pytest.raises(Stop, match=r"Installing chromium failed(.|\n)*Unable to locate package"):
        find_browser({}, machine.which, machine.run, True, "linux")


def test_an_install_that_brings_no_browser_stops() -> None:
    machine = Debian(0, ())
    assert "install Chromium" in _refused(
        variables={}, which=machine.which, run=machine.run, root_user=True, system="linux"
    )
