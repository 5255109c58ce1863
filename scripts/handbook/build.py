"""Builds the handbook into `site/`; run by scripts/build.py inside the environment that it sets up.

Everything is made in a temporary folder. Only a whole new site takes the place of the last good one.
"""

from __future__ import annotations

import argparse
import hashlib
import logging
import os
import shutil
import sys
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calc.units import SYSTEMS
from handbook import console
from handbook.console import Stop
from handbook.settings import BUILD_ID_MARK, DEFAULT_UNITS, ROOT, dated, node, node_modules

if TYPE_CHECKING:
    from mkdocs.plugins import BasePlugin

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
WEB = Path(__file__).parent / "web"
OWN = "assets/furrowbook"
# The scripts at the foot of each page, in the order in which one needs another; they go out as one file.
SCRIPTS = (
    "results", "field", "rows", "form", "kept", "troubles", "answer", "engine-line", "onward", "taken-over",
    "sheet-figures", "calculator", "practice-score", "practice", "elements", "plain-form", "signature",
    "record-places", "record-store", "record-files", "observed", "skills", "job", "job-form", "photo",
    "work-items", "work-lines", "working", "to-record", "record-page", "history", "rehearsal", "machine",
    "unit-choice", "print", "offline-words", "offline", "offline-view", "terms", "late",
)  # fmt: skip
OTHERS = ("idb/build/umd.js",)  # scripts of others that ours need, before ours
# Below those of the theme, in the order in which one overrides another; they go out as one file too.
STYLES = (
    "paper", "bar", "book", "cards", "forms", "answer", "machines", "practice", "record", "working",
    "record-page", "offline", "terms", "sun", "print",
)  # fmt: skip
ENGINE = "assets/engine"
FOLDER_SEARCH = "search/search_index.js"  # the words of the book as a script, for a page opened from a folder


def build(root: Path, output: Path) -> str:
    """Build the book of `root` into `output` and return the build id. Raises `Stop` with what is wrong."""
    _check_output(root, output)
    fix_date()
    cache = cache_of(root)
    with tempfile.TemporaryDirectory(prefix="site-", dir=cache, ignore_cleanup_errors=True) as folder:
        site = Path(folder) / "site"
        write_pages(root, site)
        build_id = finish(root, site)
        _swap(site, output)
    return build_id


# --- the steps that a preview takes too ---


def cache_of(root: Path) -> Path:
    """Where builds of the book of `root` keep what they need again."""
    cache = root / ".furrowbook" / "cache"
    cache.mkdir(parents=True, exist_ok=True)
    return cache


def fix_date() -> None:
    """Date everything that is made as the book is dated."""
    os.environ["SOURCE_DATE_EPOCH"] = str(dated().seconds)


def write_pages(root: Path, site: Path, standing: BasePlugin[Any] | None = None) -> None:
    """Have MkDocs write the pages of `root` into `site`. Raises `Refused` with what is wrong with the book.

    With `standing`, a plugin that knows what still stands of an earlier build, only the rest is written.
    """
    _run_mkdocs(root, site, standing)
    drop_unused(site)


def write_parts(site: Path, scripts: Sequence[str] = SCRIPTS, mend_search: bool = True) -> None:
    """What every page of `site` shares: the search as the book needs it, our scripts, styles and font."""
    from handbook.engine import pack_search

    pack_search(site, mend_search)
    _copy_own(site, scripts)


def finish(root: Path, site: Path, mend_search: bool = True) -> str:
    """Make a whole site of pages that are written: engine, shared parts, policy and list. The build id."""
    from handbook.engine import apply_policy, pack
    from handbook.offline import write_list, write_worker

    engine = pack(root / "calc", node(), node_modules(), site / ENGINE, cache_of(root))
    write_parts(site, mend_search=mend_search)
    write_worker(site)
    build_id = _content_id(site)
    mark_pages(site, build_id)
    apply_policy(site)
    only_for_folder = {*(f"{ENGINE}/{name}" for name in engine.folder), FOLDER_SEARCH}
    write_list(site, build_id, dated().day, only_for_folder)
    return build_id


def mark_pages(site: Path, build_id: str) -> None:
    """Write the name of the build into every page below `site`."""
    for path in sorted(site.rglob("*.html")):
        _write_text(path, path.read_text(encoding="utf-8").replace(BUILD_ID_MARK, build_id))


class Refused(Stop):
    """The book cannot be built as it is: `said` is what is wrong, in the words of MkDocs and of ours."""

    def __init__(self, said: Sequence[str], head: str = "") -> None:
        self.said = list(said)
        super().__init__("\n".join([head, *said] if head else said))


def reported(error: Exception) -> str:
    """A fault of our own, which is of no use to a trainer but to report: one line."""
    at = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{Path(at.filename).name}:{at.lineno}"
    return f"The generator failed; please report this: {where}: {error!r}"


# --- what they are made of ---


def _check_output(root: Path, output: Path) -> None:
    """Refuse to put the site in the place of anything but a site."""
    if output == root or output in root.parents:
        raise Stop(f"The site cannot go to {output}: the book itself is in it. Name another folder.")
    if output.is_dir() and (not any(output.iterdir()) or (output / OWN).is_dir()):
        return
    if output.exists():
        raise Stop(f"{output} holds something other than a built site. Name a new or an empty folder.")


def _run_mkdocs(root: Path, site: Path, standing: BasePlugin[Any] | None = None) -> None:
    from mkdocs.commands.build import build as mkdocs_build
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, MkDocsException

    warnings = _Warnings()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(warnings)
    logger.propagate = False
    try:
        config = load_config(str(root / "mkdocs.yml"), site_dir=str(site), strict=True)
        if standing:
            config.plugins["standing"] = standing
        config.plugins.on_startup(command="build", dirty=False)
        mkdocs_build(config, dirty=standing is not None)
    except Abort as error:
        raise Refused(warnings.said, "The book has problems; nothing was changed:") from error
    except MkDocsException as error:
        raise Refused([str(error), *warnings.said]) from error
    finally:
        logger.removeHandler(warnings)


class _Warnings(logging.Handler):
    """Keeps what MkDocs warns of: in a strict build, a warning is a problem."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.said.append(record.getMessage())


def _copy_own(site: Path, scripts: Sequence[str]) -> None:
    """Our scripts, styles and font."""
    from handbook.licences import FONT
    from handbook.quantities import units_css

    own = site / OWN
    own.mkdir(parents=True)
    shutil.copyfile(WEB / "js" / "units.js", own / "units.js")
    others = [(node_modules() / name).read_text(encoding="utf-8") for name in OTHERS]
    _write_text(own / "book.js", "\n".join([*others, *(_own("js", name) for name in scripts)]))
    styles = [units_css(DEFAULT_UNITS), *(_own("css", name) for name in STYLES)]
    _write_text(own / "book.css", "\n".join(styles))
    (own / "fonts").mkdir()
    for face in sorted((node_modules() / FONT / "files").glob("*-latin-wght-*.woff2")):
        shutil.copyfile(face, own / "fonts" / face.name)


def _own(kind: str, name: str) -> str:
    return (WEB / kind / f"{name}.{kind}").read_text(encoding="utf-8")


def _write_text(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def drop_unused(site: Path) -> None:
    """Leave out what serves no reader: a sitemap (the site has no one address), languages, source maps."""
    for name in ("sitemap.xml", "sitemap.xml.gz"):
        (site / name).unlink(missing_ok=True)
    shutil.rmtree(site / "assets" / "javascripts" / "lunr", ignore_errors=True)
    for path in site.rglob("*.map"):
        path.unlink()


def _content_id(site: Path) -> str:
    """The id of a build: a hash of everything in the site."""
    everything = hashlib.sha256()
    for path in sorted(path for path in site.rglob("*") if path.is_file()):
        everything.update(path.relative_to(site).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return everything.hexdigest()[:12]


def _swap(site: Path, output: Path) -> None:
    """Put the new site in the place of the old one; if that fails, the old one comes back."""
    old = site.parent / "old"
    output.parent.mkdir(parents=True, exist_ok=True)
    if output.exists():
        shutil.move(output, old)
    try:
        shutil.move(site, output)
    except OSError:
        if old.exists() and not output.exists():
            shutil.move(old, output)
        raise


def _seed(text: str) -> int:
    """A whole number that names the figures of a worksheet."""
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise argparse.ArgumentTypeError(f"“{text}” is no whole number below a thousand million")
    return int(text)


def main(arguments: Sequence[str]) -> int:
    """Build, and serve if asked to; the exit code."""
    parser = argparse.ArgumentParser(prog="scripts/build.py", description="Build the handbook into site/.")
    parser.add_argument("--serve", action="store_true", help="serve it on this machine afterwards")
    parser.add_argument("--port", type=int, default=8000, help="the port to serve on (8000)")
    parser.add_argument("--pdf", metavar="ID", help="print the whole book of a machine to ID.pdf, here")
    parser.add_argument("--worksheet", metavar="LESSON", help="print its practice, and the key, here")
    parser.add_argument("--seed", type=_seed, default=1, metavar="N", help="the figures of the worksheet (1)")
    parser.add_argument("--units", choices=SYSTEMS, default=DEFAULT_UNITS, help="those of the worksheet")
    parser.add_argument("--output", type=Path, default=ROOT / "site", metavar="DIR", help="where to (site/)")
    chosen = parser.parse_args(arguments)

    def work() -> int:
        output = chosen.output.resolve()
        try:
            build_id = build(ROOT, output)
        except (Stop, OSError):
            raise
        except Exception as error:
            raise Stop(reported(error)) from error
        console.say(f"Built {output} (build {build_id}). Open {output / 'index.html'} in a browser.")
        if chosen.pdf:
            from handbook.paper import write_pdf

            printed = Path(f"{chosen.pdf}.pdf")
            write_pdf(ROOT, output, build_id, chosen.pdf, printed)
            console.say(f"Printed {printed}.")
        if chosen.worksheet:
            from handbook.worksheet import write_worksheet

            here = Path()
            page, seed, units = chosen.worksheet, chosen.seed, chosen.units
            for made in write_worksheet(ROOT, output, build_id, page, seed, units, here):
                console.say(f"Printed {made}.")
        if chosen.serve:
            from handbook.hosting import serve

            serve(output, chosen.port)
        return 0

    return console.stoppable(work)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
