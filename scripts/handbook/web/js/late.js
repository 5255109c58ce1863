/**
 * The theme's own scripts. On a page with a form they hold the page's thread for as long as a good part of
 * Python's start, so there they come once the first answer is painted: or before, if the reader touches the
 * page or a slow line keeps Python away.
 */
(() => {
    "use strict";

    /** How long (ms) they wait at most. */
    const PATIENCE = 2000;

    /** What a reader does who may want something of the theme. */
    const TOUCHES = ["pointerdown", "keydown", "focusin"];

    const { engine } = window.furrowbook;
    const late = /** @type {NodeListOf<HTMLScriptElement>} */ (document.querySelectorAll("script[data-late]"));

    function bring() {
        engine?.removeEventListener("quiet", afterPaint);
        TOUCHES.forEach((touch) => removeEventListener(touch, bring, true));
        for (const script of late) {
            if (script.isConnected) {
                const made = document.createElement("script");
                made.src = script.src;
                made.async = false; // in their order
                script.replaceWith(made);
            }
        }
    }

    const afterPaint = () => requestAnimationFrame(() => setTimeout(bring));

    if (new URLSearchParams(location.search).has("q")) {
        bring(); // a question to the search
    } else if (late.length > 0) {
        engine?.addEventListener("quiet", afterPaint);
        TOUCHES.forEach((touch) => addEventListener(touch, bring, { capture: true }));
        setTimeout(bring, PATIENCE);
    }
})();
