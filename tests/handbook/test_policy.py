"""The policy in each page, and what stops the build because it leads outside."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook.console import Stop
from handbook.engine import apply_policy
from handbook.engine.policy import harmful, read_page, script_hash
from tests.calculators.many import examples

HEAD = '<!doctype html>\n<html>\n<head>\n<meta charset="utf-8">\n'


def page(site: Path, body: str, name: str = "index.html") -> Path:
    path = site / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(f"{HEAD}<title>A page</title>\n</head>\n<body>\n{body}\n</body>\n</html>\n".encode())
    return path


def allowed(path: Path) -> list[str]:
    """The hashes in a page's policy."""
    return re.findall(r"'(sha256-[^']+)'", path.read_text("utf-8"))


def test_the_hash_is_the_one_of_the_standard() -> None:
    # Source: W3C, Content Security Policy Level 2, section 7.17.2, the example of a hash.
    assert script_hash("alert('Hello, world.');") == "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng="


def test_the_policy_comes_right_after_the_charset(tmp_path: Path) -> None:
    path = page(tmp_path, "")
    assert apply_policy(tmp_path) == 1
    tag = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'self' blob:"
    assert path.read_text("utf-8").startswith(HEAD + tag)


def test_each_page_allows_its_own_inline_scripts_only(tmp_path: Path) -> None:
    first = page(
        tmp_path,
        "<script>let a = 1 < 2 && '&amp;';</script>\n<script src='x.js'></script>\n"
        '<script type=\'application/json\'>{"not": "run"}</script>',
    )
    second = page(tmp_path, "<script>\r\nlet b;\r\n</script><script></script>", "deep/er/page.html")
    third = page(tmp_path, "<p>no script</p>", "deep/plain.html")
    assert apply_policy(tmp_path) == 3
    assert allowed(first) == [script_hash("let a = 1 < 2 && '&amp;';")]
    assert set(allowed(second)) == {script_hash("\nlet b;\n"), script_hash("")}
    assert allowed(third) == []


@pytest.mark.parametrize(
    "body",
    [
        '<script src="https://example.org/x.js"></script>',
        '<script src="//example.org/x.js"></script>',
        "<script src='\\\\example.org/x.js'></script>",
        '<link rel="stylesheet" href="HTTPS://example.org/x.css">',
        '<link rel="preconnect" href="https://example.org">',
        '<img src="http://example.org/x.png" alt="">',
        '<img srcset="a.png 1x, https://example.org/b.png 2x" alt="">',
        '<iframe src="https://example.org"></iframe>',
        '<form action="https://example.org"></form>',
        '<button formaction="https://example.org">Go</button>',
        '<object data="https://example.org/x"></object>',
        '<svg><use href="https://example.org/x.svg#a"/></svg>',
        '<svg><image xlink:href="https://example.org/x.png"/></svg>',
        '<base href="https://example.org/">',
        '<meta http-equiv="refresh" content="0; url=https://example.org/">',
        '<p style="background: url(https://example.org/x.png)">x</p>',
        '<style>@import "https://example.org/x.css";</style>',
        "<style>p { background: url( '//example.org/x.png' ) }</style>",
    ],
)
def test_an_address_outside_stops_the_build(tmp_path: Path, body: str) -> None:
    path = page(tmp_path, f"<p>line 8</p>\n{body}")
    before = path.read_bytes()
    with pytest.raises(Stop, match=r"^index\.html:9: .*would be fetched from outside"):
        apply_policy(tmp_path)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("body", "problem"),
    [
        ('<button onclick="go()">Go</button>', "<button onclick=…> runs a script from an attribute"),
        ('<svg onload="go()"></svg>', "<svg onload=…> runs a script from an attribute"),
        ('<a href="javascript:void(0)">Go</a>', "is a “javascript:” address"),
        ('<a href=" JaVa&#9;Script:go()">Go</a>', "is a “javascript:” address"),
        ('<form action="javascript:go()"></form>', "is a “javascript:” address"),
    ],
)
def test_a_script_in_an_attribute_stops_the_build(tmp_path: Path, body: str, problem: str) -> None:
    page(tmp_path, body)
    with pytest.raises(Stop, match=rf"^index\.html:8: .*{re.escape(problem)}"):
        apply_policy(tmp_path)


def test_style_sheets_and_drawings_are_read_too(tmp_path: Path) -> None:
    page(tmp_path, "")
    (tmp_path / "a.css").write_text(
        "/* see https://example.org\n url(https://example.org/in-a-comment) */\n"
        "p { background: url(\"data:image/svg+xml,<svg xmlns='http://www.w3.org/2000/svg'/>\") }\n"
        "@font-face { src: url(https://example.org/x.woff2) }\n",
        "utf-8",
    )
    with pytest.raises(Stop) as stop:
        apply_policy(tmp_path)
    assert str(stop.value).splitlines() == [
        "a.css:4: “https://example.org/x.woff2” would be fetched from outside; bring it into the handbook"
    ]


def test_every_problem_is_told_at_once(tmp_path: Path) -> None:
    page(tmp_path, '<img src="//a.example/x">\n<img src="//b.example/x">')
    page(tmp_path, '<p onclick="x()">x</p>', "deep/page.html")
    with pytest.raises(Stop) as stop:
        apply_policy(tmp_path)
    assert [line.split(": ")[0] for line in str(stop.value).splitlines()] == [
        "deep/page.html:8",
        "index.html:8",
        "index.html:9",
    ]


def test_what_only_points_outside_may_stay(tmp_path: Path) -> None:
    page(
        tmp_path,
        '<a href="https://example.org/paper">the paper</a> <a href="mailto:a@example.org">write</a>\n'
        '<link rel="canonical" href="https://example.org/"><img src="data:image/png;base64,AA" alt="">\n'
        '<script src="../x.js?at=1:2"></script><a href="page.html#a:b">here</a>',
    )
    assert apply_policy(tmp_path) == 1


def test_a_page_without_charset_or_with_a_policy_stops_the_build(tmp_path: Path) -> None:
    page(tmp_path, "")
    apply_policy(tmp_path)
    (tmp_path / "bare.html").write_text("<title>x</title>", "utf-8")
    with pytest.raises(Stop) as stop:
        apply_policy(tmp_path)
    assert str(stop.value).splitlines() == [
        "bare.html:1: there is no <meta charset>, after which the policy would go",
        "index.html:1: the page has a policy already",
    ]


PIECES = """\
<p class="a">
</p>
<a href="x.html">
<a href="https://example.org/">
<br>
<td colspan="2">
<a href="javascript:alert(1)">
<a href="java&#115;cript:alert(1)">
<a href='x.html' onclick='a()'>
<p class="a" onclick="a()">
<img src="https://example.org/x">
<img src="x.png">
<IMG SRC=//a.b/c>
<use href="https://example.org/x">
<svg viewBox="0 0 1 1">
<path d="M0 0" fill="none"/>
</svg>
<script>
</script>
<script type="module">
<style>
</style>
<!--
-->
<!-->
<title>
<textarea>
</textarea>
<noscript>
</noscript>
url(https://example.org/x)
"
'
>
<
<p title="<script>">
<p title="<!--">
<p title="a > b" class="x">
a &lt; b
<p style="background: url(//a.b)">
<p data-x="y" aria-label="z">
<base href='//a.b/'>
<x "y>
<p class="a" b'c>
<p class=>""".splitlines()


@given(st.lists(st.sampled_from([*PIECES, "\n", '<p class="a\nb">']), max_size=14).map("".join))
@settings(max_examples=examples(1500), deadline=None)
def test_tags_that_are_passed_over_hide_nothing(body: str) -> None:
    """Reading only what can do harm finds all that reading everything finds, on the same lines."""
    (scripts, problems), (left_scripts, left_problems) = read_page(body), read_page(harmful(body))
    assert {line for line, _ in problems} <= {line for line, _ in left_problems}
    assert left_scripts == scripts


def test_most_of_a_page_need_not_be_read() -> None:
    body = '<ul class="a"><li><a href="x.html" class="b">C</a></li></ul>\n' * 100
    assert harmful(body).split() == ["C"] * 100
