/**
 * The reader's choice of units, set on the page before it is first painted: `data-units` on the root
 * element for all figures, `data-u-KIND` for a kind that is shown otherwise. Kept on this device only.
 */
(() => {
    "use strict";

    const KEEP = "furrowbook.units";
    const SYSTEMS = ["metric", "us", "imperial"];

    /**
     * What a page says of itself in its head.
     * @param {string} name
     * @returns {string}
     */
    function said(name) {
        return document.querySelector(`meta[name="${name}"]`)?.getAttribute("content") ?? "";
    }

    /** A choice of units: announces each change by a `change` event and by calling `onchange`. */
    class Units extends EventTarget {
        /** @type {((text: string) => void) | null} */
        onchange = null;

        #system = "metric";

        /** @type {Map<string, string>} */
        #byKind = new Map();

        /** @type {Set<string>} */
        #kinds = new Set(said("furrowbook-kinds").split(" "));

        constructor() {
            super();
            this.#take(said("furrowbook-units"));
            this.#take(this.#kept());
            this.#mark();
            addEventListener("storage", (event) => {
                if (event.key === KEEP) {
                    this.#change(event.newValue ?? "");
                }
            });
            addEventListener("pageshow", (event) => {
                if (event.persisted) {
                    this.#change(this.#kept());
                }
            });
        }

        /** The choice as it is kept and sent: `us` or `us,speed=metric`. */
        get text() {
            return [this.#system, ...[...this.#byKind].map(([kind, system]) => `${kind}=${system}`)].join(",");
        }

        /**
         * The system in which figures are shown, or those of one kind.
         * @param {string} [kind]
         */
        system(kind) {
            return this.#byKind.get(kind ?? "") ?? this.#system;
        }

        /**
         * Takes and keeps a choice; one that cannot be read is ignored.
         * @param {string} text
         */
        set(text) {
            if (!this.#change(text)) {
                return;
            }
            try {
                localStorage.setItem(KEEP, this.text);
            } catch {
                // A browser may refuse to keep anything: the choice then holds for this page.
            }
        }

        #kept() {
            try {
                return localStorage.getItem(KEEP) ?? "";
            } catch {
                return "";
            }
        }

        /**
         * @param {string} text
         * @returns {boolean}   whether it could be read
         */
        #change(text) {
            const before = this.text;
            if (!this.#take(text)) {
                return false;
            }
            if (this.text !== before) {
                this.#mark();
                this.onchange?.(this.text);
                this.dispatchEvent(new Event("change"));
            }
            return true;
        }

        /**
         * @param {string} text
         * @returns {boolean}
         */
        #take(text) {
            const [system = "", ...parts] = text.split(",");
            const pairs = parts.map((part) => part.split("="));
            const sound = SYSTEMS.includes(system)
                && pairs.every(([, other, ...more]) => SYSTEMS.includes(other ?? "") && more.length === 0);
            if (!sound) {
                return false;
            }
            this.#system = system;
            this.#byKind.clear();
            for (const [kind = "", other = ""] of pairs) {
                // A kind that this book does not have comes from another build of it.
                if (this.#kinds.has(kind) && other !== system) {
                    this.#byKind.set(kind, other);
                }
            }
            return true;
        }

        #mark() {
            const root = document.documentElement;
            for (const name of root.getAttributeNames()) {
                if (name.startsWith("data-u-")) {
                    root.removeAttribute(name);
                }
            }
            root.setAttribute("data-units", this.#system);
            root.toggleAttribute("data-units-mixed", this.#byKind.size > 0);
            for (const [kind, system] of this.#byKind) {
                root.setAttribute(`data-u-${kind}`, system);
            }
        }
    }

    document.documentElement.classList.add("js");
    window.furrowbook ??= /** @type {Furrowbook} */ ({});
    window.furrowbook.units = new Units();
})();
