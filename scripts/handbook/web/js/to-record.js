/** An answer that goes into the record of the job, with what was given for it. */
(() => {
    "use strict";

    const { record, job, elements } = window.furrowbook;

    const WORDS = {
        keep: (/** @type {string} */ name) => `Keep it in the record of ${name}`,
        tank: "Tank",
        lot: "Lot of the product",
        kept: "Kept in the record.",
    };

    /**
     * Rows as single names, numbered: `catches_1_mass`.
     * @param {Given} given
     */
    function flat(given) {
        /** @type {Record<string, string>} */
        const names = {};
        for (const [name, value] of Object.entries(given)) {
            if (typeof value === "string") {
                names[name] = value;
            } else {
                value.forEach((row, at) => {
                    for (const [column, text] of Object.entries(row)) {
                        names[`${name}_${at + 1}_${column}`] = text;
                    }
                });
            }
        }
        return names;
    }

    /** How many fields there are on the page, for their ids. */
    let places = 0;

    class ToRecord {
        #section;

        #place;

        /** @type {StandingAnswer | null} */
        #answer = null;

        #tank = ToRecord.#input();

        #lot = ToRecord.#input();

        #key = document.createElement("button");

        #said = document.createElement("p");

        /** @param {HTMLElement} section */
        constructor(section) {
            this.#section = section;
            this.#place = /** @type {HTMLElement} */ (section.querySelector(".fb-to-record"));
            this.#key.type = "button";
            this.#key.className = "fb-key";
            this.#key.addEventListener("click", () => this.#keep());
            this.#said.setAttribute("role", "status");
            this.#place.append(ToRecord.#labelled(WORDS.tank, this.#tank), ToRecord.#labelled(WORDS.lot, this.#lot), this.#key, this.#said);
            section.addEventListener("furrowbook-answer", (event) => {
                this.#answer = /** @type {CustomEvent<StandingAnswer | null>} */ (event).detail;
                if (this.#said.textContent) {
                    this.#said.textContent = "";
                }
                this.#show();
            });
            job.addEventListener("change", () => this.#show());
        }

        #show() {
            const name = job.standing.begun?.name;
            const hidden = !this.#answer || !name;
            if (hidden !== this.#place.hidden) {
                this.#place.hidden = hidden; // a key leaves alone what it does not change
            }
            if (hidden) {
                return;
            }
            this.#key.textContent = WORDS.keep(name);
            const chosen = /** @type {HTMLSelectElement | null} */ (this.#section.querySelector(".fb-from-machine:not([hidden]) select"));
            this.#tank.value ||= chosen?.value ?? "";
        }

        async #keep() {
            if (!this.#answer) {
                return;
            }
            const { given, results } = this.#answer;
            const texts = Object.entries(results).map(([name, one]) => [name, typeof one === "string" ? one : one?.shown]);
            const entry = {
                ...job.common,
                kind: "worked",
                machine: job.standing.begun?.machine,
                tank: this.#tank.value.trim(),
                lot: this.#lot.value.trim(),
                calculator: this.#section.dataset.calculator,
                given: flat(given),
                results: Object.fromEntries(texts.filter(([, text]) => text)),
            };
            try {
                await record.add(elements.filled(entry));
                this.#said.textContent = WORDS.kept;
            } catch (error) {
                this.#said.textContent = /** @type {Error} */ (error).message;
            }
        }

        static #input() {
            const input = document.createElement("input");
            input.type = "text";
            input.maxLength = 60;
            input.autocomplete = "off";
            input.id = `fb-to-record-${(places += 1)}`;
            return input;
        }

        /**
         * @param {string} words
         * @param {HTMLInputElement} input
         */
        static #labelled(words, input) {
            const label = document.createElement("label");
            label.htmlFor = input.id;
            label.append(words, input);
            return label;
        }
    }

    for (const section of document.querySelectorAll("[data-calculator]")) {
        new ToRecord(/** @type {HTMLElement} */ (section));
    }
})();
