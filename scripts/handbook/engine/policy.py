"""Closes every page to the outside: a content security policy in each, and no address that leads away.

The policy names the inline scripts of its own page by their hashes; the theme's differ with the depth of
a page. Whatever would be fetched from elsewhere, or run from an attribute, stops the build.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from pathlib import Path

from handbook.console import Stop

_DIRECTIVES = (
    "default-src 'none'; script-src 'self' blob: 'wasm-unsafe-eval'{hashes}; worker-src 'self' blob:; "
    "connect-src 'self' blob:; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; "
    "font-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'"
)

_CHARSET = re.compile(r"(<meta\s+charset=[^>]*>)", re.IGNORECASE)
_POLICY = re.compile(r"http-equiv\s*=\s*[\"']?content-security-policy", re.IGNORECASE)

# A scheme, or two slashes (browsers take a backslash for a slash).
_OUTSIDE = re.compile(r"\s*(?:(?!(?:data|blob):)[a-z][a-z0-9+.-]*:|[\\/]{2})", re.IGNORECASE)
_SCRIPT_ADDRESS = re.compile(r"[\s\x00-\x1f]*j\s*a\s*v\s*a\s*s\s*c\s*r\s*i\s*p\s*t\s*:", re.IGNORECASE)
_CSS_ADDRESS = re.compile(
    r"""url\(\s*(?:"(?P<double>[^"]*)"|'(?P<single>[^']*)'|(?P<bare>[^)"'\s]*))|@import\s+["'](?P<sheet>[^"']*)""",
    re.IGNORECASE,
)
_CSS_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)

# Attributes that make a browser fetch or send something. A plain link is followed only when clicked.
_ASSETS = {"src", "srcset", "poster", "data", "action", "formaction", "background", "ping", "xlink:href"}
_HREF_ASSETS = {"link", "base", "image", "use", "feimage"}
# Links that only say something about the page.
_SAYING = {"canonical", "alternate", "license", "author", "next", "prev"}

# Most tags of a page can neither fetch nor run anything: they hold no other attributes than these, in plain
# quotes, and a link leads to a page of the book. They need not be read one by one, which takes long. What
# stands in a script, a style or a comment is left as it is, and so is every other tag. Where a tag is not
# written cleanly, all the rest of the page is left too, for nobody knows where such a tag ends.
_RAW = "script|style|title|textarea|xmp|iframe|noembed|noframes|noscript|plaintext"
_INERT = (
    *("class", "id", "for", "name", "type", "value", "role", "lang", "title", "hidden", "open", "checked"),
    *("scope", "colspan", "start", "tabindex", "autocomplete", "autocapitalize", "spellcheck", "inputmode"),
    *("maxlength", "width", "height", "viewBox", "xmlns", "[xy][12]?", "c[xy]", "d", "r", "points", "fill"),
    *("stroke", "transform", "(?:aria|data|text|font|fill|stroke)-[a-z-]+"),
)
_ATTRIBUTE = rf"""(?:{"|".join(_INERT)})(?:="[^"\n]*")?"""
_CLEAN = (
    r"<[!/]?[a-zA-Z][^\s\"'<>/=]*"
    r"(?:\s+[^\s\"'<>/=]+(?:\s*=\s*(?:\"[^\"]*\"|'[^']*'|[^\s\"'=<>`]+))?)*\s*/?>"
)
_HARMLESS = re.compile(
    rf"""<a(?: +(?:{_ATTRIBUTE}|href="[^":&\n]*"))* *>"""
    rf"""|</?(?!(?:{_RAW})\b)[a-z][a-z0-9-]*(?: +{_ATTRIBUTE})* */?>"""
    rf"""|(?P<left><(?P<raw>script|style)\b.*?(?:</(?P=raw)\s*>|\Z)|<!--.*?(?:-->|\Z)|{_CLEAN}|<[a-zA-Z/!?].*)""",
    re.DOTALL,
)

# Kinds of script that a browser runs; any other block is data.
_RUN = {"", "module", "text/javascript", "application/javascript", "importmap", "speculationrules"}


def apply_policy(site_dir: Path) -> int:
    """Write the policy into every page below `site_dir`; returns how many pages there are.

    Raises `Stop` that lists everything found that leads outside or runs from an attribute. Then no page
    has been changed.
    """
    problems = [
        f"{path.relative_to(site_dir).as_posix()}:{text.count(chr(10), 0, at) + 1}: {_led_outside(address)}"
        for path in sorted((*site_dir.rglob("*.css"), *site_dir.rglob("*.svg")))
        for text in [path.read_text("utf-8")]
        for at, address in css_addresses(text)
        if leads_outside(address)
    ]
    policies: dict[Path, str] = {}
    for path in sorted(site_dir.rglob("*.html")):
        name = path.relative_to(site_dir).as_posix()
        source = _read(path)
        scripts, found = read_page(harmful(source))
        problems += [f"{name}:{line}: {problem}" for line, problem in found]
        if not _CHARSET.search(source):
            problems.append(f"{name}:1: there is no <meta charset>, after which the policy would go")
        elif _POLICY.search(source):
            problems.append(f"{name}:1: the page has a policy already")
        else:
            policies[path] = policy(scripts)
    if problems:
        raise Stop("\n".join(problems))
    for path, text in policies.items():
        tag = f'\n<meta http-equiv="Content-Security-Policy" content="{text}">'
        before, charset, after = _CHARSET.split(_read(path), maxsplit=1)
        path.write_bytes((before + charset + tag + after).encode("utf-8"))
    return len(policies)


def harmful(source: str) -> str:
    """A page with a space for each tag that can do no harm, every other on the line that it was on."""
    return _HARMLESS.sub(r"\g<left> ", source)


def read_page(source: str) -> tuple[list[str], list[tuple[int, str]]]:
    """The inline scripts of a page, and what leads outside or runs from an attribute, each with its line."""
    page = _Page()
    page.feed(source)
    page.close()
    return page.inline_scripts, page.problems


def _read(path: Path) -> str:
    """A page as it is, line ends and all."""
    return path.read_bytes().decode("utf-8")


def policy(inline_scripts: Iterable[str]) -> str:
    """The policy for a page with these inline scripts, each the exact text between its tags."""
    hashes = sorted({script_hash(text) for text in inline_scripts})
    return _DIRECTIVES.format(hashes="".join(f" '{each}'" for each in hashes))


def script_hash(text: str) -> str:
    """The hash by which a policy allows an inline script.

    A browser hashes what its parser read, and that parser turns every line end into a line feed.
    Source: Content Security Policy Level 3, section 8.3; HTML Standard, "Preprocessing the input stream".
    """
    read = text.replace("\r\n", "\n").replace("\r", "\n")
    return "sha256-" + base64.b64encode(hashlib.sha256(read.encode("utf-8")).digest()).decode()


def leads_outside(address: str) -> bool:
    """Whether an address names another host, or a scheme that is not the page's own."""
    return bool(_OUTSIDE.match(address))


def css_addresses(text: str) -> Iterator[tuple[int, str]]:
    """Each address a style sheet would fetch, and where in the text it stands."""
    # Comments go, but every position stays.
    bare = _CSS_COMMENT.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)
    for found in _CSS_ADDRESS.finditer(bare):
        address = found["double"] or found["single"] or found["bare"] or found["sheet"] or ""
        yield found.start(), address.strip()


def _led_outside(address: str) -> str:
    return f"“{address[:120]}” would be fetched from outside; bring it into the handbook"


class _Page(HTMLParser):
    """Reads one page: its inline scripts, and each problem with its line."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.inline_scripts: list[str] = []
        self.problems: list[tuple[int, str]] = []
        self._inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        for name, value in given.items():
            self._check(tag, name, value, given)
        if tag == "style":
            self._inside = "style"
        elif tag == "script" and "src" not in given and given.get("type", "").strip().lower() in _RUN:
            self._inside = "script"
            self.inline_scripts.append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        # To a browser `<script/>` is an opening tag like any other.
        self.handle_starttag(tag, attrs)
        if tag in self.CDATA_CONTENT_ELEMENTS:
            self._problem(f"<{tag}/> does not end there to a browser; write the closing tag")

    def handle_endtag(self, tag: str) -> None:
        if tag == self._inside:
            self._inside = ""

    def handle_data(self, data: str) -> None:
        if self._inside == "script":
            self.inline_scripts[-1] += data
        elif self._inside == "style":
            self._check_style(data)

    def _check(self, tag: str, name: str, value: str, given: dict[str, str]) -> None:
        if name.startswith("on"):
            self._problem(f"<{tag} {name}=…> runs a script from an attribute, which the policy forbids")
        elif name == "style":
            self._check_style(value)
        elif _SCRIPT_ADDRESS.match(value) and name in _ASSETS | {"href"}:
            self._problem(f"<{tag} {name}=…> is a “javascript:” address, which the policy forbids")
        elif name == "srcset":
            self._check_addresses(part.strip().split(" ")[0] for part in value.split(", "))
        elif name in _ASSETS or (name == "href" and self._fetches(tag, given)):
            self._check_addresses([value])
        elif tag == "meta" and given.get("http-equiv", "").lower() == "refresh" and name == "content":
            self._check_addresses([value.partition("=")[2].strip("\"' ")])

    def _fetches(self, tag: str, given: dict[str, str]) -> bool:
        saying = tag == "link" and set(given.get("rel", "").lower().split()) <= _SAYING
        return tag in _HREF_ASSETS and not (saying and given.get("rel"))

    def _check_addresses(self, addresses: Iterable[str]) -> None:
        for address in addresses:
            if leads_outside(address):
                self._problem(_led_outside(address))

    def _check_style(self, text: str) -> None:
        self._check_addresses(address for _, address in css_addresses(text))

    def _problem(self, text: str) -> None:
        self.problems.append((self.getpos()[0], text))
