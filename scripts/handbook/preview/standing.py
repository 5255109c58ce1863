"""What still stands of the last build: MkDocs is told which pages to render and which files to write.

A page is rendered again when its own text has changed, or anything that it asked for; where the same
comes of it, it is not written. Two things are left to the next build, so that nobody waits for them to see
what is new: pages that nobody reads, where one that is read changes; and the menus of all pages, where
something new stands in a page.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

import yaml
from jinja2 import Environment
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.utils.templates import TemplateContext

from handbook.blocks import BookExtension
from handbook.glossary import EMPTY, Glossary
from handbook.preview.rendered import Asked, Question, Rendered, words_of
from handbook.preview.templates import Compiled

SEARCH = "material/search"
LEFT_OUT = (InclusionLevel.EXCLUDED, InclusionLevel.DRAFT)
IN_THE_MENU = ("icon", "status", "subtitle")  # what the head of one page adds to the menu of every page


@dataclass
class Edition:
    """A build: what it was made from, and what came of it."""

    settings: list[str] = field(default_factory=list)
    glossary: Glossary = EMPTY
    stamps: dict[str, Any] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    menu: str = ""
    pages: dict[str, Rendered] = field(default_factory=dict)
    search: list[dict[str, Any]] = field(default_factory=list)


class NoSettings(Config):  # type: ignore[no-untyped-call]  # the library's own
    """There is nothing to choose."""


class Standing(BasePlugin[NoSettings]):  # type: ignore[no-untyped-call]  # the library's own
    """Compares each build with the last that was accepted; MkDocs asks every file whether it is modified."""

    def __init__(self) -> None:
        self._accepted = Edition()
        self._compiled = Compiled()
        self.first: Collection[str] = ()

    def accept(self) -> None:
        """The build that has just been made is what readers see."""
        self._accepted = self._now

    def forget(self) -> None:
        """Take nothing for granted in the next build."""
        self._accepted = Edition()

    @property
    def whole(self) -> bool:
        """Whether nothing stood, so that everything is written."""
        return not self._before.pages

    @property
    def behind(self) -> bool:
        """Whether menus or pages are still those of an earlier build."""
        return bool(self._later) or self._now.menu != self._menu

    @property
    def gone(self) -> set[str]:
        """The files of the site that the last build had and this one has not."""
        return self._accepted.names - self._now.names

    @property
    def only_around(self) -> set[str]:
        """The files of the pages that are written only for the menu around them."""
        return {self._files[uri].dest_uri for uri in self._same & self._stale}

    @property
    def changed(self) -> bool:
        """Whether a reader could see anything of this build."""
        return bool(self._stale or self.gone)

    # --- what MkDocs calls, in this order ---

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Compare what the book is made from."""
        book = next(one for one in config.markdown_extensions if isinstance(one, BookExtension))
        book.ask = self._asked = Asked(book.ask)
        self._files = {file.src_uri: file for file in files if file.inclusion not in LEFT_OUT}
        self._now = Edition(
            settings=_settings(Path(config.config_file_path)),
            glossary=book.glossary,
            stamps={
                uri: _stamp(file) for uri, file in self._files.items() if not file.is_documentation_page()
            },
            names={file.dest_uri for file in self._files.values()},
        )
        same = self._now.settings == self._accepted.settings
        self._before = self._accepted if same else Edition()
        self._stale = {uri for uri, one in self._now.stamps.items() if self._before.stamps.get(uri) != one}
        self._same: set[str] = set()
        for file in files:
            file.is_modified = partial(self._is_stale, file)  # type: ignore[method-assign]
        return files

    def _is_stale(self, file: File) -> bool:
        return file.src_uri in self._stale

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:
        """Put back what was rendered before, where it would come out the same."""
        self._nav = nav
        self._sources = {file.src_uri: file.content_string for file, _ in self._pages()}
        self._answers: dict[str, Mapping[Question, Any]] = {}
        # A link is resolved by the files there are; a new one is no page's that was right without it.
        standing = self._before.pages if self._before.names <= self._now.names else {}
        told_anew = _told_anew(self._before.glossary, self._now.glossary)
        anew = {uri for uri in self._sources if not self._stands(uri, standing.get(uri), told_anew)}
        read = {uri for uri in anew if self._files[uri].dest_uri in self.first}
        self._later = (anew - read) & standing.keys() if read else set()
        if self._later:  # which are to be compared with the same glossary again
            self._now.glossary = self._before.glossary
        for file, page in self._pages():
            if file.src_uri not in anew - self._later:
                standing[file.src_uri].put_back(page, files)
        self._stale |= anew - self._later
        return nav

    def _stands(self, uri: str, kept: Rendered | None, told_anew: set[str]) -> bool:
        """Whether a page would come out as it did before."""
        if kept is None or kept.source != self._sources[uri] or kept.mentions(told_anew):
            return False
        return self._asked.still(kept.answers)

    def on_page_markdown(self, markdown: str, *, page: Page, **_: Any) -> str:
        """Begin to note what the page asks for."""
        self._asked.begin()
        return markdown

    def on_page_content(self, html: str, *, page: Page, **_: Any) -> str:
        """Note what it has asked for."""
        self._answers[page.file.src_uri] = self._asked.answers
        return html

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Compare what was rendered, now that all titles are known: what is the same is not written."""
        for file, page in self._pages():
            uri = file.src_uri
            kept = self._before.pages.get(uri)
            answers = self._answers.get(uri, kept.answers if kept else {})
            later = kept if uri in self._later else None
            self._now.pages[uri] = made = later or Rendered.of(page, self._sources[uri], answers)
            if kept and kept.looks_like(made):
                self._same.add(uri)
        self._menu = _menu(self._nav)
        new = set(self._now.pages) - self._same
        self._now.menu = self._before.menu if new and self._same else self._menu
        self._stale |= new if self._now.menu == self._before.menu else set(self._now.pages)
        env.bytecode_cache = self._compiled
        return env

    @event_priority(100)  # before the search reads the page
    def on_page_context(self, context: TemplateContext, *, page: Page, **_: Any) -> TemplateContext:
        """The search knows a page already that has not changed, and takes longest of all to read one."""
        if page.file.src_uri in self._same:
            page.meta = {**page.meta, "search": {"exclude": True}}
        return context

    @event_priority(100)  # before the search is written
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Give the search what it knew of the pages that are the same."""
        search: Any = config.plugins[SEARCH]
        same = {self._files[uri].url for uri in self._same}
        entries: list[dict[str, Any]] = search.search_index.entries
        entries += [one for one in self._before.search if one["location"].partition("#")[0] in same]
        self._now.search = entries

    def _pages(self) -> Iterator[tuple[File, Page]]:
        for file in self._files.values():
            if file.page is not None:
                yield file, file.page


def _settings(path: Path) -> list[str]:
    """Everything that mkdocs.yml says, but for the menu, which changes no page by itself."""
    text = path.read_text("utf-8-sig")
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    assert isinstance(root, yaml.MappingNode)  # or MkDocs would not have read it
    settings = [(key, value) for key, value in root.value if key.value != "nav"]
    return [text[key.start_mark.index : value.end_mark.index] for key, value in settings]


def _menu(nav: Navigation) -> str:
    """The menu, and all that it shows of each page."""
    shown = [[page.meta.get(name) for name in IN_THE_MENU] for page in nav.pages]
    return f"{nav}{shown}"


def _told_anew(before: Glossary, now: Glossary) -> set[str]:
    """What stands for a word that one glossary explains and the other does not, or not alike."""
    terms = set(before.terms) ^ set(now.terms)
    return {words_of(phrase) for term in terms for phrase in (*term.names, *term.only_in)}


def _stamp(file: File) -> Any:
    """What changes with a file that is handed on as it is."""
    if file.abs_src_path is None:
        return file.content_bytes
    written = Path(file.abs_src_path).stat()
    return written.st_mtime_ns, written.st_size
