/** What is written in a form, kept in this tab alone, so that going back to a page or reloading it finds it again. */
(() => {
    "use strict";

    /** A page that is opened by a link or an address begins anew. */
    const AGAIN = ["back_forward", "reload"];

    class Kept {
        /** @type {string} */
        #key;

        /** @param {HTMLElement} section */
        constructor(section) {
            const place = [...document.querySelectorAll("[data-calculator]")].indexOf(section);
            this.#key = `furrowbook.written ${location.pathname} ${place}`;
        }

        /**
         * What was written when this page was left, if the reader has come back to it.
         * @returns {Given | null}
         */
        take() {
            const [opened] = performance.getEntriesByType("navigation");
            const again = opened instanceof PerformanceNavigationTiming && AGAIN.includes(opened.type);
            try {
                const text = sessionStorage.getItem(this.#key);
                sessionStorage.removeItem(this.#key);
                return again && text ? JSON.parse(text) : null;
            } catch {
                return null; // the browser keeps nothing, or not what was given to it
            }
        }

        /** @param {Given} written */
        put(written) {
            try {
                sessionStorage.setItem(this.#key, JSON.stringify(written));
            } catch {
                // A browser may refuse to keep anything: the form then opens as at first.
            }
        }
    }

    window.furrowbook.Kept = Kept;
})();
