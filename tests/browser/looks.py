"""What is looked at in a page: whether it is whole, and whether everyone can use it.

The rules are those of WCAG 2.2 as axe-core checks them, and the success criteria named beside further checks.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, Request, Response

from tests.browser.conftest import PATIENCE, PHONE

DESK = {"width": 1280, "height": 800}
STILL = "() => document.getAnimations().every((one) => one.playState !== 'running')"
SMALL = {"width": 320, "height": 640}
HALF = {"width": 640, "height": 800}
AT_REST = "() => ['idle', 'ready'].includes(window.furrowbook?.engine?.state ?? 'idle')"
AXE_RUN = """async ([rules, within]) => {
    const only = rules ? { runOnly: rules } : {};
    const found = await axe.run(within, { resultTypes: ["violations"], ...only });
    const said = (rule, node) => `${rule.id}: ${node.html.slice(0, 160)} (${node.failureSummary})`;
    return found.violations.flatMap((rule) => rule.nodes.map((node) => said(rule, node)));
}"""
# Whatever stands out over the edge and is not meant to be moved sideways by itself.
WIDE = """() => {
    const edge = document.documentElement.clientWidth;
    const tables = ".fb-table, .md-typeset__table, .md-typeset__scrollwrap, table:not([class])";
    const moved = `${tables}, pre, .md-sidebar, .fb-aside`;
    const out = [...document.querySelectorAll("main *, .fb-bar *, footer *")].filter((one) => {
        const box = one.getBoundingClientRect();
        return one.checkVisibility() && box.right > edge + 1 && box.width > 1 && !one.closest(moved);
    });
    return [document.scrollingElement.scrollWidth > edge ? "the page" : "",
            ...out.map((one) => one.outerHTML.slice(0, 80))].filter(Boolean);
}"""
SIZES = """selector => [...document.querySelectorAll(selector)].filter((one) => one.checkVisibility())
    .map((one) => [one.getBoundingClientRect(), one])
    .filter(([box]) => box.width > 1)
    .map(([box, one]) => [one.outerHTML.slice(0, 90), box.width, box.height])"""
LETTERS = "() => parseFloat(getComputedStyle(document.querySelector('article p')).fontSize)"
ENLARGE = """() => {
    const root = document.documentElement;
    root.style.fontSize = `${2 * parseFloat(getComputedStyle(root).fontSize)}px`;
}"""
CUT = """() => [...document.querySelectorAll("article :is(button, summary), .fb-bar :is(a, summary)")]
    .filter((one) => one.checkVisibility() && one.clientWidth > 1
        && (one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 1))
    .map((one) => `cut: ${one.outerHTML.slice(0, 80)}`)"""
# In the page for full sun: whatever is drawn in anything but black and white, or only half.
GREY = """() => {
    const plain = /^(none|rgb\\(0, 0, 0\\).*|rgb\\(255, 255, 255\\).*|rgba\\(0, 0, 0, 0\\).*)$/;
    const words = (one) => [...one.childNodes].some((part) => part.nodeType === 3 && part.data.trim());
    const wide = (style, side) => parseFloat(style[`border${side}Width`]) > 0;
    const edge = (style, side) => wide(style, side) ? style[`border${side}Color`] : "none";
    const faint = (style, name) => parseFloat(style[`${name}Opacity`]) < 1 && style[name] !== "none";
    const paint = (style, name) => faint(style, name) ? "half" : style[name];
    const colors = (one, style) => [
        words(one) ? style.color : "none", style.backgroundColor, style.boxShadow,
        ...["Top", "Right", "Bottom", "Left"].map((side) => edge(style, side)),
        ...(one instanceof SVGElement ? [paint(style, "fill"), paint(style, "stroke")] : []),
        parseFloat(style.opacity) < 1 ? "half" : "none",
    ];
    return [...document.querySelectorAll("body *")]
        .filter((one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
        .filter((one) => one.getBoundingClientRect().width > 1)
        .map((one) => [one, colors(one, getComputedStyle(one)).filter((color) => !plain.test(color))])
        .filter(([, found]) => found.length)
        .map(([one, found]) => `not black and white: ${one.outerHTML.slice(0, 90)} ${found}`);
}"""
UNFOLD = "() => document.querySelectorAll('article details').forEach((one) => { one.open = true; })"


def looked_at(page: Page, axe: str, rules: list[str] | None = None, within: str = "html") -> list[str]:
    """What axe finds in the page as it stands, or in a part of it; by all its rules if none are named."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(axe)
    page.wait_for_function(STILL)
    found: list[str] = page.evaluate(AXE_RUN, [rules, within])
    return found


def resize(page: Page, size: dict[str, int]) -> None:
    page.set_viewport_size({"width": size["width"], "height": size["height"]})


def opened(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_function(AT_REST, timeout=PATIENCE)


def what_breaks(page: Page) -> list[str]:
    """A list to which everything is added that does not come, or comes with an error, from now on."""
    broken: list[str] = []

    def failed(request: Request) -> None:
        if request.failure != "net::ERR_ABORTED":  # what the next page breaks off is no fault of this one
            broken.append(f"{page.url}: {request.url} {request.failure}")

    def replied(reply: Response) -> None:
        if reply.status >= 400:
            broken.append(f"{page.url}: {reply.url} {reply.status}")

    page.on("requestfailed", failed)
    page.on("response", replied)
    return broken


def whole(page: Page, name: str) -> None:
    """Fail unless a page is one of the book: its heading, its main part, its ids, its policy."""
    assert page.locator("h1").count() == 1, name
    assert page.locator("h1").inner_text().strip(), name
    assert page.locator("html").get_attribute("lang") == "en", name
    assert page.locator("main").count() == 1, name
    assert page.evaluate("() => document.compatMode") == "CSS1Compat", name  # a doctype stands first
    ids = page.evaluate("() => [...document.querySelectorAll('[id]')].map((one) => one.id)")
    assert sorted(set(ids)) == sorted(ids), f"{name}: an id stands twice"
    policy_stands_first(page, name)


def policy_stands_first(page: Page, name: str) -> None:
    """By HTML Standard a policy in a meta element governs only what the parser meets after it."""
    head = page.evaluate(
        """() => [...document.head.children]
            .map((one) => [one.localName, one.httpEquiv ?? "", one.content ?? ""])"""
    )
    assert [one[1] for one in head].count("Content-Security-Policy") == 1, name
    assert head[0][0] == "meta", name  # the charset
    assert head[1][1] == "Content-Security-Policy", name
    assert "default-src 'none'" in head[1][2], name


def for_everyone(page: Page, axe: str, name: str) -> list[str]:
    """What is wrong with a page on a phone: by axe, light and dark; in full sun; small; in large letters."""
    resize(page, PHONE)
    found = looked_at(page, axe)
    if name != "404.html":  # which brings its own few colors along
        wear(page, "slate")
        found += looked_at(page, axe, ["color-contrast"])
        wear(page, "sun")
        found += page.evaluate(GREY)
        wear(page, "default")
    return found + small_or_large(page, name)


def wear(page: Page, scheme: str) -> None:
    """Put the page into other colours, as the theme does when its key is pressed."""
    page.evaluate("scheme => { document.body.dataset.mdColorScheme = scheme; }", scheme)
    page.wait_for_function(STILL)


def small_or_large(page: Page, name: str) -> list[str]:
    """What is wrong with a page 320 CSS pixels wide (WCAG 1.4.10, a desk at 400 %); and with the letters a
    reader sets to 200 % (WCAG 1.4.4), which it keeps.
    """
    resize(page, SMALL)
    found = [f"small: {one}" for one in page.evaluate(WIDE)]
    if name == "404.html":
        return found
    resize(page, HALF)
    before = page.evaluate(LETTERS)
    page.evaluate(ENLARGE)
    assert page.evaluate(LETTERS) == pytest.approx(2 * before), f"{name}: the letters do not follow"
    return found + [f"large: {one}" for one in page.evaluate(WIDE) + page.evaluate(CUT)]
