/** One field of a form: what is written in it, its unit, and what is wrong with it. */
(() => {
    "use strict";

    /** A text that is a number and nothing else; whether it is a good one is for Python to say. */
    const ONLY_NUMBER = /^[+\-−]?[0-9][0-9.,\u2009\u202f ]*(e[+\-−]?[0-9]+)?$/i;
    const NUMBER_FIRST = /^([+\-−]?[0-9][0-9.,\u2009\u202f]*) (.+)$/;
    const SYSTEMS = ["metric", "us", "imperial"];
    const GIVE_OR_TAKE = "±";

    /**
     * A unit as it is compared: people write 2 for ², and 3 for ³.
     * @param {string | undefined} unit
     */
    const plain = (unit) => unit?.replace("²", "2").replace("³", "3");

    class Field {
        /** @type {HTMLElement} */
        root;

        /** @type {HTMLInputElement | HTMLSelectElement} */
        control;

        /** @type {HTMLSelectElement | null} */
        #unit;

        /** The unit of a field that has only one. */
        #fixed;

        /** What it may be off by. */
        /** @type {HTMLInputElement | null} */
        #give;

        /** @type {HTMLElement} */
        #error;

        /** The choices it goes with, and the values of each with which it has a place. */
        /** @type {Record<string, string[]>} */
        onlyWith;

        /** @param {HTMLElement} root */
        constructor(root) {
            this.root = root;
            this.onlyWith = JSON.parse(root.dataset.onlyWith ?? "{}");
            this.control = /** @type {HTMLInputElement | HTMLSelectElement} */ (root.querySelector("[name]"));
            this.#unit = root.querySelector("select.fb-unit");
            this.#fixed = root.querySelector("span.fb-unit")?.getAttribute("data-unit") ?? null;
            this.#give = root.querySelector(".fb-give input");
            this.#error = /** @type {HTMLElement} */ (root.querySelector(".fb-error"));
        }

        /** Its path in the request. */
        get key() {
            return this.root.dataset.field ?? "";
        }

        /** Its name in its row, or its key where it stands in none. */
        get name() {
            return this.key.slice(this.key.lastIndexOf(".") + 1);
        }

        /** The place of its row from 1; 0 where it stands in none. */
        get place() {
            return Number(/\[([0-9]+)\]/.exec(this.key)?.[1] ?? 0);
        }

        get title() {
            return this.root.querySelector("label")?.firstChild?.textContent?.trim() ?? "";
        }

        get empty() {
            return this.control.value.trim() === "" && !this.giving;
        }

        get takesGive() {
            return this.#give !== null;
        }

        get giving() {
            return (this.#give?.value ?? "").trim() !== "";
        }

        /** What is sent: as written, with the chosen unit after a bare number; null where it is empty. */
        get written() {
            if (this.empty) {
                return null;
            }
            const figure = this.#withUnit(this.control.value);
            return this.#give && this.giving ? `${figure} ${GIVE_OR_TAKE} ${this.#withUnit(this.#give.value)}` : figure;
        }

        /** @param {string} text */
        #withUnit(text) {
            const unit = this.#unit?.value ?? this.#fixed;
            return unit && ONLY_NUMBER.test(text.trim()) ? `${text.trim()} ${unit}` : text;
        }

        /**
         * Writes a value; a unit that the list beside the field holds is chosen there.
         * @param {string} text
         */
        fill(text) {
            const [figure = "", give = ""] = this.#give ? text.split(GIVE_OR_TAKE).map((part) => part.trim()) : [text];
            this.#fillFigure(figure);
            if (this.#give) {
                const unit = this.#unit?.selectedOptions[0]?.text ?? this.#fixed;
                this.#give.value = give.endsWith(` ${unit}`) ? give.slice(0, -` ${unit}`.length) : give;
            }
            this.refresh();
        }

        /** @param {string} text */
        #fillFigure(text) {
            if (this.control instanceof HTMLSelectElement) {
                const chosen = [...this.control.options].find((one) => one.value === text || one.text === text);
                this.control.value = chosen?.value ?? "";
                return;
            }
            const [, number, unit] = NUMBER_FIRST.exec(text) ?? [];
            const option = [...(this.#unit?.options ?? [])].find(
                (one) => plain(one.text) === plain(unit) || plain(one.value) === plain(unit),
            );
            if (this.#unit && option && number) {
                this.#unit.value = option.value;
                this.control.value = number;
            } else {
                this.control.value = unit && plain(unit) === plain(this.#fixed ?? "") && number ? number : text;
            }
        }

        /** What is chosen here, or what counts where nothing is. */
        get chosen() {
            return this.control.value || (this.control.dataset.default ?? "");
        }

        /**
         * Hides it where it has no place; what is written in it stays in view.
         * @param {boolean} hasPlace
         */
        show(hasPlace) {
            this.root.hidden = !hasPlace && this.empty;
        }

        /** Marks whether it is filled, and whether a unit written in the text makes the list beside it idle. */
        refresh() {
            this.root.toggleAttribute("data-filled", !this.empty);
            const text = this.control.value.trim();
            this.root.toggleAttribute("data-own-unit", text !== "" && !ONLY_NUMBER.test(text));
        }

        /** Chooses the reader's unit, if nothing is written yet. */
        useUnits() {
            if (this.#unit && this.empty) {
                const shown = (this.#unit.dataset.shown ?? "").split("|");
                const name = shown[SYSTEMS.indexOf(window.furrowbook.units.system(this.#unit.dataset.kind))];
                const option = [...this.#unit.options].find((one) => one.text === name);
                this.#unit.value = option?.value ?? this.#unit.value;
            }
        }

        /** @param {FormField} other */
        copyUnit(other) {
            const unit = other.root.querySelector("select.fb-unit");
            if (this.#unit && unit instanceof HTMLSelectElement) {
                this.#unit.value = unit.value;
            }
        }

        /**
         * Shows what is wrong; empty text takes it away.
         * @param {string} problem
         */
        say(problem) {
            const text = problem.charAt(0).toUpperCase() + problem.slice(1);
            if (this.#error.textContent === text) {
                return;
            }
            this.#error.textContent = text;
            this.#error.hidden = problem === "";
            if (problem) {
                this.control.setAttribute("aria-invalid", "true");
            } else {
                this.control.removeAttribute("aria-invalid");
            }
        }

        /**
         * Gives it another path and ids, as a row gets another number.
         * @param {string} key
         * @param {string} id
         */
        rename(key, id) {
            if (this.key === key && this.control.id === id) {
                return;
            }
            this.root.dataset.field = key;
            this.control.setAttribute("name", key);
            this.control.id = id;
            this.control.setAttribute("aria-describedby", `${id}-hint ${id}-error`);
            this.root.querySelector("label")?.setAttribute("for", id);
            this.root.querySelector(".fb-hint")?.setAttribute("id", `${id}-hint`);
            this.#error.id = `${id}-error`;
            this.#unit?.setAttribute("id", `${id}-unit`);
            this.#give?.setAttribute("id", `${id}-give`);
            this.#give?.setAttribute("aria-describedby", `${id}-error`);
            this.root.querySelector(".fb-give label")?.setAttribute("for", `${id}-give`);
        }
    }

    window.furrowbook.Field = Field;
})();
