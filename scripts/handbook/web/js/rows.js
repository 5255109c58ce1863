/** Like rows of a form, such as catches or tanks: added, removed and numbered. */
(() => {
    "use strict";

    const { Field } = window.furrowbook;

    /**
     * @typedef {object} Row
     * @property {HTMLElement} root
     * @property {FormField[]} fields
     */

    class Rows {
        /** @type {HTMLElement} */
        root;

        /** @type {HTMLElement} */
        error;

        /** @type {Row[]} */
        #rows;

        /** @type {HTMLElement} */
        #blank;

        /** Holds the rows: a browser lays a whole fieldset out anew for each child it gets. */
        /** @type {HTMLElement} */
        #list;

        /** @type {HTMLButtonElement} */
        #adder;

        #words;
        #least;
        #most;

        /** @type {number} */
        initial;

        /**
         * @param {HTMLElement} root
         * @param {Words} words
         */
        constructor(root, words) {
            this.root = root;
            this.#words = words;
            this.error = /** @type {HTMLElement} */ (root.querySelector(":scope > .fb-error"));
            this.#list = /** @type {HTMLElement} */ (root.querySelector(".fb-list"));
            this.#adder = /** @type {HTMLButtonElement} */ (root.querySelector(".fb-add"));
            this.#least = Number(root.dataset.least);
            this.#most = Number(root.dataset.most);
            this.#rows = [...root.querySelectorAll(".fb-row")].map((row) => this.#made(row));
            this.initial = this.#rows.length;
            this.#blank = /** @type {HTMLElement} */ (this.#rows[0]?.root.cloneNode(true));
            this.refresh();
        }

        get name() {
            return this.root.dataset.rows ?? "";
        }

        get title() {
            return this.root.querySelector("legend")?.textContent ?? "";
        }

        get #count() {
            return this.#rows.length;
        }

        get fields() {
            return this.#rows.flatMap((row) => row.fields);
        }

        /**
         * One more row with the units of the row above it.
         * @returns {HTMLElement | null}   what to focus
         */
        add() {
            if (this.#count >= this.#most) {
                return null;
            }
            const last = this.#rows[this.#count - 1];
            const row = this.#made(/** @type {Element} */ (this.#blank.cloneNode(true)));
            this.#rows.push(row);
            this.#list.append(row.root);
            row.fields.forEach((field, place) => {
                field.fill("");
                field.say("");
                field.useUnits();
                const above = last?.fields[place];
                if (above) {
                    field.copyUnit(above);
                }
            });
            this.refresh();
            return row.fields[0]?.control ?? null;
        }

        /**
         * Takes away the row that holds this element.
         * @param {Element} inside
         * @returns {HTMLElement | null}   what to focus
         */
        remove(inside) {
            const place = this.#rows.findIndex((one) => one.root.contains(inside));
            if (place < 0 || this.#count <= this.#least) {
                return null;
            }
            this.#rows.splice(place, 1).forEach((row) => row.root.remove());
            this.refresh();
            return this.#rows[Math.min(place, this.#count - 1)]?.root ?? this.#adder;
        }

        /** @param {number} count */
        resize(count) {
            while (this.#count < count && this.add()) {
                // one row at a time
            }
            for (let last = this.#rows.at(-1); last && this.#count > count; last = this.#rows.at(-1)) {
                if (!this.remove(last.root)) {
                    return;
                }
            }
        }

        /**
         * The name of a field's row in words.
         * @param {FormField} field
         */
        titleOf(field) {
            const row = this.#rows.find((one) => one.fields.includes(field));
            return row?.root.querySelector("legend")?.textContent?.trim() ?? "";
        }

        /** What is sent: rows with something in them, at least `least`; and the place (from 1) of each in the form. */
        written() {
            let spare = this.#least - this.#rows.filter((row) => !this.#isEmpty(row)).length;
            /** @type {GivenRow[]} */
            const rows = [];
            /** @type {number[]} */
            const standing = [];
            this.#rows.forEach((row, index) => {
                if (!this.#isEmpty(row) || spare-- > 0) {
                    rows.push(Rows.#given(row));
                    standing.push(index + 1);
                }
            });
            return { rows, standing };
        }

        /** The rows one by one: their place from 1, what they are called, and whether anything is in them. */
        get places() {
            return this.#rows.map((row, index) => {
                const name = row.fields.find((field) => field.name === "name")?.control.value.trim() ?? "";
                const legend = row.root.querySelector("legend")?.textContent?.trim() ?? "";
                return { place: index + 1, name, title: name || legend, empty: this.#isEmpty(row) };
            });
        }

        /** Every row as it stands, empty ones too. */
        everything() {
            return this.#rows.map(Rows.#given);
        }

        /** Sets the numbers, names and buttons right. */
        refresh() {
            const base = this.error.id.slice(0, -"-error".length);
            const filled = this.#rows.map((row) => !this.#isEmpty(row));
            const last = filled.lastIndexOf(true);
            let number = 0;
            this.#rows.forEach((row, place) => {
                for (const field of row.fields) {
                    field.rename(`${this.name}[${place + 1}].${field.name}`, `${base}-${place + 1}-${field.name}`);
                }
                // An empty row between filled ones is not sent: the answer must not count it either.
                const counted = filled[place] || place > last;
                number += counted ? 1 : 0;
                this.#label(row.root, counted ? String(number) : `(${this.#words.not_counted})`);
            });
            this.#adder.hidden = this.#count >= this.#most;
        }

        /**
         * @param {Element} row
         * @returns {Row}
         */
        #made(row) {
            const fields = [...row.querySelectorAll(".fb-field")];
            return {
                root: /** @type {HTMLElement} */ (row),
                fields: fields.map((field) => new Field(/** @type {HTMLElement} */ (field))),
            };
        }

        /**
         * @param {HTMLElement} row
         * @param {string} number
         */
        #label(row, number) {
            for (const place of row.querySelectorAll(".fb-number")) {
                if (place.textContent !== number) {
                    place.textContent = number;
                }
            }
            const remover = row.querySelector(".fb-remove");
            if (remover instanceof HTMLButtonElement) {
                remover.hidden = this.#count <= this.#least;
            }
        }

        /** @param {Row} row */
        #isEmpty(row) {
            return row.fields.every((field) => field.empty);
        }

        /**
         * @param {Row} row
         * @returns {GivenRow}
         */
        static #given(row) {
            /** @type {GivenRow} */
            const given = {};
            for (const { name, written } of row.fields) {
                if (written !== null) {
                    given[name] = written;
                }
            }
            return given;
        }
    }

    window.furrowbook.Rows = Rows;
})();
