/** A form of the record: what is written in it by the names of an entry, and what is wrong beside each field. */
(() => {
    "use strict";

    /** What Python found wrong with an entry. */
    class Wrong extends Error {
        /** @param {{ field: string, problem: string }[]} errors */
        constructor(errors) {
            super(errors.map((one) => one.problem).join("; "));
            this.errors = errors;
        }
    }

    /** @param {string} words */
    const sentence = (words) => `${words.charAt(0).toUpperCase()}${words.slice(1).replace(/[.]$/, "")}.`;

    class PlainForm {
        /** @param {HTMLFormElement} form */
        constructor(form) {
            this.form = form;
            form.addEventListener("input", (event) => {
                PlainForm.#mark(/** @type {HTMLInputElement} */ (event.target));
                const place = /** @type {Element} */ (event.target).closest("[data-entry]");
                const error = /** @type {HTMLElement | null} */ (place?.querySelector(".fb-error") ?? null);
                if (error) {
                    this.#say(error, "");
                }
            });
        }

        /** What is written, by name; what is blank is left out. */
        get values() {
            /** @type {Record<string, string>} */
            const values = {};
            for (const [name, value] of new FormData(this.form)) {
                if (typeof value === "string" && value.trim() !== "") {
                    values[name] = value.trim().replaceAll("\r\n", "\n");
                }
            }
            return values;
        }

        /** @param {Record<string, string>} values */
        fill(values) {
            for (const one of this.#controls) {
                const value = values[one.name];
                if (one instanceof HTMLInputElement && (one.type === "radio" || one.type === "checkbox")) {
                    one.checked = value !== undefined && value === one.value;
                } else {
                    one.value = value ?? "";
                    PlainForm.#mark(one);
                }
            }
        }

        /**
         * Shows what is wrong beside each field and in the list, which takes the focus; an empty list wipes both.
         * @param {{ field: string, problem: string }[]} errors
         */
        show(errors) {
            for (const place of this.form.querySelectorAll(".fb-error")) {
                this.#say(/** @type {HTMLElement} */ (place), "");
            }
            const list = this.form.querySelector(".fb-summary ul");
            list?.replaceChildren(...errors.map((one) => this.#entry(one)));
            const summary = /** @type {HTMLElement | null} */ (this.form.querySelector(".fb-summary"));
            if (summary) {
                summary.hidden = errors.length === 0;
                if (errors.length > 0) {
                    summary.focus();
                }
            }
        }

        /**
         * A day that is not written yet leaves an empty line on paper, and not the browser's own letters.
         * @param {HTMLInputElement} control
         */
        static #mark(control) {
            control.toggleAttribute("data-empty", control.type === "date" && control.value === "");
        }

        get #controls() {
            const all = /** @type {NodeListOf<HTMLInputElement>} */ (this.form.querySelectorAll("input, select, textarea"));
            return [...all].filter((one) => one.name);
        }

        /** @param {{ field: string, problem: string }} error */
        #entry({ field, problem }) {
            const entry = document.createElement("li");
            const place = this.form.querySelector(`[data-entry="${CSS.escape(field)}"]`);
            const control = /** @type {HTMLElement | null} */ (place?.querySelector("input, select, textarea") ?? null);
            const name = place?.querySelector("label, legend")?.firstChild?.textContent?.trim() ?? "";
            if (!place || !control) {
                entry.textContent = field ? sentence(`${field}: ${problem}`) : sentence(problem);
                return entry;
            }
            const error = /** @type {HTMLElement | null} */ (place.querySelector(".fb-error"));
            if (error) {
                this.#say(error, sentence(problem));
            }
            const link = document.createElement("a");
            link.href = `#${control.id}`;
            link.textContent = sentence(`${name.replace(/[.]$/, "")}: ${problem}`);
            link.addEventListener("click", (event) => {
                event.preventDefault();
                place.scrollIntoView({ block: "center" });
                control.focus({ preventScroll: true });
            });
            entry.append(link);
            return entry;
        }

        /**
         * @param {HTMLElement} place
         * @param {string} words
         */
        #say(place, words) {
            place.textContent = words;
            place.hidden = words === "";
            const control = place.closest(".fb-field")?.querySelector("input, select, textarea");
            if (words) {
                control?.setAttribute("aria-invalid", "true");
            } else {
                control?.removeAttribute("aria-invalid");
            }
        }
    }

    window.furrowbook.Wrong = Wrong;
    window.furrowbook.PlainForm = PlainForm;
})();
