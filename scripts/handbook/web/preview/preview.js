/** The preview's own part of a page: it opens the page anew after each build, and shows what is to be mended. */
(() => {
    "use strict";

    /** @typedef {{ build: string, heading: string, problems: string[] }} Notice */

    const PLACE = /^(\S+:\d+): (.*)$/;
    const SHORT = "Preview";
    const LONG = "This is a preview: no part of it is stored on this device.";

    const script = /** @type {HTMLScriptElement} */ (document.currentScript);
    const BUILD = script.dataset.build ?? "";
    const EVENTS = new URL(`events?page=${encodeURIComponent(location.pathname)}`, script.src).href;

    const panel = document.createElement("section");

    /** @type {EventSource | null} */
    let events = null;

    /**
     * @param {keyof HTMLElementTagNameMap} tag
     * @param {...(string | Node)} children
     */
    function element(tag, ...children) {
        const made = document.createElement(tag);
        made.append(...children);
        return made;
    }

    /** @param {string} problem */
    function line(problem) {
        const [, place, words] = PLACE.exec(problem) ?? [];
        return place && words ? element("li", element("code", `${place}:`), ` ${words}`) : element("li", problem);
    }

    /** @param {Notice} notice */
    function show({ heading, problems }) {
        const list = element("ol", ...problems.map(line));
        panel.replaceChildren(...(heading ? [element("h2", heading), list] : []));
    }

    /** @param {Notice} notice */
    function take(notice) {
        if (notice.build === BUILD) {
            show(notice);
        } else {
            stop();
            panel.replaceChildren(); // or the browser would find the reader's place lower by its height
            location.reload();
        }
    }

    function stop() {
        events?.close();
        events = null;
    }

    /** A browser keeps only a few lines open to one host, so a page that is not looked at gives its own back. */
    function follow() {
        if (document.hidden) {
            stop();
        } else if (!events) {
            events = new EventSource(EVENTS);
            events.addEventListener("message", ({ data }) => take(JSON.parse(data)));
        }
    }

    panel.className = "fb-preview";
    panel.setAttribute("role", "alert");
    panel.tabIndex = -1;
    document.body.prepend(panel);
    for (const place of document.querySelectorAll("[data-offline]")) {
        place.textContent = place.getAttribute("data-offline") === "word" ? SHORT : LONG;
    }
    document.addEventListener("visibilitychange", follow);
    addEventListener("pagehide", stop);
    addEventListener("pageshow", follow);
    follow();
})();
