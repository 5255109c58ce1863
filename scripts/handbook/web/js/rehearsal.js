/**
 * Python gets up to speed before the first key: once a page with a form has come to rest, or at once when the
 * reader goes to a field, it works out the form's example, of which nothing is shown.
 */
(() => {
    "use strict";

    /** How long (ms) a form in sight has to have been left alone. */
    const REST = 1000;

    const { engine, units } = window.furrowbook;

    /** The form that the reader sees, or has gone to. */
    /** @type {HTMLElement | null} */
    let section = null;

    /** @type {ReturnType<typeof setTimeout> | undefined} */
    let timer;

    const sight = new IntersectionObserver((seen) => {
        const found = seen.find((one) => one.isIntersecting);
        if (found) {
            section ??= /** @type {HTMLElement} */ (found.target);
            look();
        }
    });

    function look() {
        clearTimeout(timer);
        timer = setTimeout(rehearse, REST);
    }

    /** @param {FocusEvent} event */
    function goTo(event) {
        if (event.target instanceof HTMLInputElement) {
            section = event.target.closest("[data-calculator]") ?? section;
            rehearse();
        }
    }

    function rehearse() {
        if (!section || engine?.state !== "ready" || !engine.quiet) {
            return;
        }
        end();
        const given = JSON.parse(section.dataset.example ?? "{}");
        engine.rehearse(JSON.stringify({ calculator: section.dataset.calculator, given, units: units.text }));
    }

    /** Once is enough: what the browser compiles serves every form. */
    function end() {
        clearTimeout(timer);
        sight.disconnect();
        engine?.removeEventListener("quiet", look);
        removeEventListener("focusin", goTo);
    }

    if (engine) {
        document.querySelectorAll("[data-calculator]").forEach((one) => sight.observe(one));
        engine.addEventListener("quiet", look);
        addEventListener("focusin", goTo);
    }
})();
