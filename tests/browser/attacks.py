"""Strings that try to run as a script, to become markup or a formula, or to lead somewhere else."""

from __future__ import annotations

_CALL = "window.ran=1"
_MARKUP = (
    "<script>{call}</script>",
    "<img src=x onerror={call}>",
    "<svg onload={call}>",
    "<svg><script>{call}</script></svg>",
    "<body onload={call}>",
    "<iframe srcdoc='<script>parent.{call}</script>'>",
    "<iframe src=javascript:{call}>",
    "<a href=javascript:{call}>x</a>",
    "<details open ontoggle={call}>",
    "<input autofocus onfocus={call}>",
    "<video><source onerror={call}></video>",
    "<math><mtext></form><form><mglyph><style></math><img src onerror={call}>",
    "<style>@import 'https://example.org/x.css'</style>",
    "<link rel=stylesheet href=https://example.org/x.css>",
    "<img src=https://example.org/x.png>",
    "<base href=https://example.org/>",
    "<meta http-equiv=refresh content='0;url=https://example.org/'>",
    "<object data=https://example.org/x></object>",
    "<form action=https://example.org/><button>x</button></form>",
    "<template><script>{call}</script></template>",
    "<!--><img src=x onerror={call}>-->",
    "<noscript><p title='</noscript><img src=x onerror={call}>'>",
)
_ROUND = ("{}", "\"'>{}", "</title></style></textarea></script>{}", "']]}}>{}")
_ELSE = (
    "javascript:window.ran=1", "JaVaScRiPt:window.ran=1", "data:text/html,<script>window.ran=1</script>",
    "vbscript:x", "//example.org/x", "https://example.org/x", "\\\\example.org\\x", "file:///etc/passwd",
    "../../../../etc/passwd", "..%2f..%2f", "%3Cscript%3Ewindow.ran=1%3C/script%3E",
    "&lt;script&gt;x", "&#60;script&#62;",
    "{{7*7}}", "${window.ran=1}", "#{window.ran=1}", "<%= 7*7 %>", "`window.ran=1`", "');window.ran=1;//",
    "\";window.ran=1;//", "\\u003cscript\\u003e", "__proto__", "constructor", "toString", "hasOwnProperty",
    "=1+1", "=HYPERLINK(\"https://example.org\")", "+1+1", "-1+1", "@SUM(1)", "=cmd|' /C calc'!A0",
    "' OR 1=1 --", "null", "undefined", "NaN", "[object Object]", "\u202e\u2066x", "\u2028window.ran=1\u2029",
    "\ufeffx", "\u0000x", "A" * 5000, "<" * 400, "(" * 400, "\U0001f468\u200d\U0001f33e",
)  # fmt: skip


def attacks() -> list[str]:
    """All of them: each markup alone and behind four ways to close what it stands in."""
    marked = [around.format(one.format(call=_CALL)) for one in _MARKUP for around in _ROUND]
    return list(dict.fromkeys([*marked, *_ELSE]))
