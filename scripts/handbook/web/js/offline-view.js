/** Shows how the book stands on the device: a word in the bar, a line at the foot, all of it on its own page. */
(() => {
    "use strict";

    const { offline, offlineWords } = window.furrowbook;
    const LATER = "furrowbook.later";

    /** What the browser offers to do when it would put the book among the apps. */
    /** @type {(Event & { prompt(): Promise<unknown> }) | null} */
    let installing = null;

    /**
     * @param {keyof OfflineWords["buttons"]} name
     * @param {() => void} work
     */
    function button(name, work) {
        const made = document.createElement("button");
        made.type = "button";
        made.className = "fb-offline__button";
        made.textContent = offlineWords.buttons[name];
        made.addEventListener("click", work);
        return made;
    }

    /** @param {string[]} lines */
    function paragraphs(lines) {
        return lines.map((line) => {
            const made = document.createElement("p");
            made.textContent = line;
            return made;
        });
    }

    /** What there is to do about it, wherever it is said. */
    function ways() {
        const { phase } = offline.state;
        const made = [];
        if (phase === "newer" && !offline.occupation) {
            made.push(button("use", () => offline.use()));
        }
        if (phase === "outdated") {
            made.push(button("renew", () => offline.use()));
        }
        if (phase === "declined") {
            made.push(button("store", () => offline.store()));
        }
        if (offlineWords.trouble(offline.state).length > 0) {
            made.push(button("again", () => offline.store()));
        }
        return made;
    }

    /**
     * Replaces what is there only if it has changed, so that a button is not taken from under a finger and
     * nothing is spoken twice.
     * @param {Element} root
     * @param {Node[]} nodes
     */
    function show(root, nodes) {
        const text = nodes.map((node) => node.textContent).join("\n");
        if (root instanceof HTMLElement && root.dataset.shown !== text) {
            root.dataset.shown = text;
            root.replaceChildren(...nodes);
        }
    }

    /** @param {Element} root */
    async function showAll(root) {
        const { phase, using } = offline.state;
        const nodes = [...paragraphs(offlineWords.sentences(offline.state, offline.occupation)), ...ways()];
        if (using) {
            const promised = await offline.promised();
            if (promised !== null) {
                nodes.push(...paragraphs([offlineWords.promised(promised)]));
            }
            if (promised === false) {
                nodes.push(button("promise", () => offline.promise()));
            }
            nodes.push(button("forget", () => offline.forget()));
        }
        if (installing && phase !== "unable") {
            nodes.push(button("install", () => installing?.prompt()));
        }
        show(root, nodes);
    }

    /** Says that a new build waits, unless the reader is in the middle of something or has put it off. */
    class Notice {
        #root = document.createElement("aside");

        constructor() {
            this.#root.className = "fb-news";
            this.#root.setAttribute("role", "status");
            document.body.append(this.#root);
        }

        follow() {
            const { phase, waiting, held } = offline.state;
            const late = waiting?.build === this.#putOff();
            if (phase !== "newer" || offline.occupation || late) {
                show(this.#root, []);
                return;
            }
            const [, news = ""] = offlineWords.sentences(offline.state, "");
            const put = button("later", () => this.#putOffNow(waiting?.build ?? ""));
            show(this.#root, [...paragraphs([news, ...offlineWords.held(held)]), ...ways(), put]);
        }

        #putOff() {
            try {
                return sessionStorage.getItem(LATER);
            } catch {
                return null;
            }
        }

        /** @param {string} build */
        #putOffNow(build) {
            try {
                sessionStorage.setItem(LATER, build);
            } catch {
                // it will be said again on the next page
            }
            show(this.#root, []);
        }
    }

    const notice = new Notice();
    const word = document.querySelector("[data-offline='word']");
    const lines = document.querySelectorAll("[data-offline='line']");
    const wholes = document.querySelectorAll("[data-offline='all']");

    /** What the reader was in the middle of when it was last shown. */
    let occupation = "";

    function follow() {
        if (word instanceof HTMLElement) {
            word.textContent = offlineWords.short(offline.state);
            word.dataset.phase = offline.state.phase;
        }
        occupation = offline.occupation;
        const sentences = offlineWords.sentences(offline.state, occupation);
        lines.forEach((line) => show(line, [...paragraphs(sentences), ...ways()]));
        wholes.forEach((whole) => showAll(whole));
        notice.follow();
    }

    addEventListener("beforeinstallprompt", (event) => {
        event.preventDefault(); // the browser's own bar would cover the page
        installing = /** @type {typeof installing} */ (event);
        follow();
    });
    offline.addEventListener("change", follow);
    // Not with every key: the browser would lay the page out once more just when the key's answer is to be seen.
    const look = () => setTimeout(() => offline.occupation !== occupation && follow());
    document.addEventListener("input", look);
    document.addEventListener("click", look);
    offline.begin();
    follow();
})();
