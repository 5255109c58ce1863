"""On paper: a machine's whole book, its pages one behind the other, printed to a PDF by the browser."""

from __future__ import annotations

import re
import subprocess
import tempfile
from html import unescape
from pathlib import Path
from urllib.parse import urljoin

from calc.errors import listed, nearest
from handbook.book import read
from handbook.chromium import FLAGS, find_browser
from handbook.console import Stop
from handbook.machines.pages import copied, page_names
from handbook.settings import dated
from handbook.templating import template

PATIENCE = 300  # seconds
_ARTICLE = re.compile(r"<article\b[^>]*>(.*)</article>", re.S)
_STYLES = re.compile(r'<link rel="stylesheet" href="([^"]*)"')
_HREF = re.compile(r'\s(?:href|id)="[^"]*"')
_HEADING = re.compile(r"<h1\b[^>]*>(.*?)</h1>", re.S)


def write_pdf(root: Path, site: Path, build_id: str, id: str, output: Path) -> None:
    """Print the book of the machine `id`, as it stands in the built `site`, to the file `output`.

    Raises `Stop` where there is no such machine, or no browser.
    """
    reading = read(root / "docs")
    sheet = reading.sheets.get(id)
    if not sheet:
        meant = nearest(id, reading.sheets)
        hint = f"did you mean “{meant}”?" if meant else f"the sheets are {listed(reading.sheets, 'and')}."
        raise Stop(f"There is no machine sheet “{id}”; {hint}")
    copies = [file for file, _ in copied(reading.texts)]
    names = [f"{name.removesuffix('.md')}.html" for name in page_names(id, sheet, copies)]
    parts = [_part(site / name, sheet.name) for name in names]
    html = template("whole-book.html").render(
        title=sheet.name,
        units=sheet.units,
        sheet=sheet,
        parts=parts,
        styles=styles_of(site / names[0]),
        foot=foot(sheet.name, build_id),
        build=build_id,
        day=dated().day,
    )
    print_html(html, output)


def styles_of(page: Path) -> list[str]:
    """The addresses of the styles of a page of the built site."""
    return [urljoin(page.as_uri(), one) for one in _STYLES.findall(page.read_text("utf-8"))]


def foot(title: str, build_id: str) -> str:
    """What stands at the foot of each sheet. It goes into a rule of CSS, where only plain signs are safe."""
    return re.sub(r"[^\w .,:()-]", " ", f"{title}, Furrowbook build {build_id}, {dated().day}")


def print_html(html: str, output: Path) -> None:
    """Print a page to the file `output`. Raises `Stop` where there is no browser."""
    browser = find_browser()
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "page.html"
        page.write_text(html, encoding="utf-8", newline="\n")
        _print(browser, page, Path(folder), output)


def _part(path: Path, machine: str) -> tuple[str, str]:
    """A page's title in the book of its machine, and what stands in it.

    Without its links: they lead nowhere on paper.
    """
    found = _ARTICLE.search(path.read_text("utf-8"))
    assert found  # the theme has one on every page
    article = _HREF.sub("", found[1])
    heading = _HEADING.search(article)
    title = unescape(re.sub("<[^>]*>", "", heading[1])).strip() if heading else path.stem
    own = title.removeprefix(machine).removeprefix(": ")
    return own[:1].upper() + own[1:] or "Overview", article


def _print(browser: Path, page: Path, folder: Path, output: Path) -> None:
    """Have the browser print a page to a file. Raises `Stop`."""
    made = folder / "page.pdf"
    words = [
        *FLAGS,
        "--headless",
        f"--user-data-dir={folder / 'profile'}",
        "--no-pdf-header-footer",
        "--generate-pdf-document-outline",
        f"--print-to-pdf={made}",
        page.as_uri(),
    ]
    try:
        done = subprocess.run(
            [str(browser), *words], capture_output=True, text=True, check=False, timeout=PATIENCE
        )
    except subprocess.TimeoutExpired as error:
        said = f"The browser did not print within {PATIENCE} s. Try again, with less else going on."
        raise Stop(said) from error
    if done.returncode or not made.is_file():
        raise Stop(f"The browser did not print: {done.stderr.strip()[-300:] or 'it said nothing'}")
    output.write_bytes(made.read_bytes())
