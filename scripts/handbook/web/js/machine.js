/**
 * The reader's machine: chosen once, kept on this device only. Calculators open with its figures, its name
 * stands in the bar, and a procedure leads to its own copy.
 */
(() => {
    "use strict";

    const KEEP = "furrowbook.machine";
    const TOP = new URL("../../", /** @type {HTMLScriptElement} */ (document.currentScript).src);
    const { calculators } = window.furrowbook;

    /** @returns {ChosenMachine | null} */
    function kept() {
        try {
            const { id, name } = JSON.parse(localStorage.getItem(KEEP) ?? "{}");
            return typeof id === "string" && typeof name === "string" && /^[\w-]+$/.test(id) ? { id, name } : null;
        } catch {
            return null; // nothing is kept, or not what was written here
        }
    }

    /** @param {ChosenMachine | null} chosen */
    function keep(chosen) {
        try {
            if (chosen) {
                localStorage.setItem(KEEP, JSON.stringify(chosen));
            } else {
                localStorage.removeItem(KEEP);
            }
            return true;
        } catch {
            return false; // the browser keeps nothing: there is no choosing
        }
    }

    /**
     * @param {string} path   below the top of the book
     */
    const at = (path) => new URL(path, TOP).href;

    class Choice {
        /** @type {ChosenMachine | null} */
        #chosen = kept();

        constructor() {
            for (const place of document.querySelectorAll(".fb-use-machine")) {
                this.#offer(/** @type {HTMLElement} */ (place));
            }
            this.#show();
            addEventListener("storage", (event) => {
                if (event.key === KEEP) {
                    this.#chosen = kept();
                    this.#show();
                }
            });
            addEventListener("pageshow", (event) => {
                if (event.persisted) {
                    this.#chosen = kept();
                    this.#show();
                }
            });
            if (this.#chosen && calculators.some((one) => one.open)) {
                this.#fetch(this.#chosen);
            }
        }

        /**
         * A button that takes this machine, and gives it back.
         * @param {HTMLElement} place
         */
        #offer(place) {
            const button = document.createElement("button");
            button.type = "button";
            const { useMachine: id = "", name = "" } = place.dataset;
            button.addEventListener("click", () => {
                this.#chosen = this.#chosen?.id === id ? null : { id, name };
                place.toggleAttribute("data-refused", !keep(this.#chosen));
                this.#show();
            });
            place.append(button);
            place.hidden = false;
        }

        /** Tells the other scripts, which know it as `furrowbook.machine`. */
        #tell() {
            const before = window.furrowbook.machine?.id;
            window.furrowbook.machine = this.#chosen;
            if (this.#chosen && this.#chosen.id !== before) {
                dispatchEvent(new Event("furrowbook-machine"));
            }
        }

        #show() {
            this.#tell();
            for (const place of document.querySelectorAll(".fb-use-machine")) {
                const { useMachine: id, use = "", leave = "" } = /** @type {HTMLElement} */ (place).dataset;
                const button = /** @type {HTMLElement} */ (place.querySelector("button"));
                const used = this.#chosen?.id === id;
                button.textContent = used ? leave : use;
                place.toggleAttribute("data-used", used);
            }
            const bar = document.querySelector(".fb-bar__machine");
            if (bar instanceof HTMLAnchorElement) {
                bar.href = at(this.#chosen ? `machines/${this.#chosen.id}/index.html` : "machines/index.html");
                bar.textContent = this.#chosen?.name ?? bar.dataset.none ?? "";
            }
            for (const place of document.querySelectorAll("[data-own-copy]")) {
                const { ownCopy, words = "" } = /** @type {HTMLElement} */ (place).dataset;
                const link = place.querySelector("a");
                if (link && this.#chosen) {
                    link.href = at(`machines/${this.#chosen.id}/${ownCopy}.html`);
                    link.textContent = words.replace("{machine}", this.#chosen.name);
                }
            }
        }

        /**
         * Its figures come as a script, which is all that a page opened from a folder may load.
         * @param {ChosenMachine} chosen
         */
        #fetch(chosen) {
            const script = document.createElement("script");
            script.src = at(`machines/${chosen.id}/figures.js`);
            script.addEventListener("load", () => {
                const figures = window.furrowbook.machines?.[chosen.id];
                for (const one of figures ? calculators : []) {
                    const known = figures?.calculators[one.id];
                    if (one.open && known) {
                        one.openWith(chosen.name, at(`machines/${chosen.id}/index.html`), known);
                    }
                }
            });
            document.head.append(script);
        }
    }

    new Choice();
})();
