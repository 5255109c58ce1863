/** All that is written in a calculator's form: gathered for a request, replaced, and brought back. */
(() => {
    "use strict";

    const { Field, Rows } = window.furrowbook;

    class Form {
        /** Fields and rows, in the order of the form. */
        /** @type {(FormField | FormRows)[]} */
        #parts;

        /** @type {HTMLElement} */
        #root;

        /**
         * @param {HTMLElement} root
         * @param {Words} words
         */
        constructor(root, words) {
            this.#root = root;
            this.#parts = [...root.querySelectorAll(".fb-rows, .fb-field:not(.fb-rows *)")].map((one) => {
                const part = /** @type {HTMLElement} */ (one);
                return part.classList.contains("fb-rows") ? new Rows(part, words) : new Field(part);
            });
            // A machine sheet, or the browser on coming back to a page, may have filled some.
            for (const field of this.fields) {
                field.useUnits();
                field.fill(field.control.value);
            }
            this.refresh();
        }

        get fields() {
            return this.#parts.flatMap((part) => "fields" in part ? part.fields : [part]);
        }

        get filled() {
            return this.fields.filter((field) => !field.empty);
        }

        /** @param {EventTarget | null} target */
        fieldOf(target) {
            const root = target instanceof Element ? target.closest(".fb-field") : null;
            return this.fields.find((field) => field.root === root) ?? null;
        }

        /** @param {Element} target */
        rowsOf(target) {
            return this.#rows.find((rows) => rows.root.contains(target)) ?? null;
        }

        get #rows() {
            return this.#parts.filter((part) => "fields" in part);
        }

        /** Sets right what follows from what is written: marks, and the numbers of rows. */
        refresh() {
            this.fields.forEach((field) => field.refresh());
            this.fields.forEach((field) => field.show(this.#hasPlace(field)));
            this.#rows.forEach((rows) => rows.refresh());
            if (this.fields.some((field) => field.giving)) {
                this.askForGive();
            }
        }

        /** Shows the places for what a measured figure may be off by; they are too many to stand there always. */
        askForGive() {
            this.#root.classList.add("fb-giving");
        }

        /**
         * Whether the choices made so far give a field a place.
         * @param {FormField} field
         */
        #hasPlace(field) {
            return Object.entries(field.onlyWith).every(([name, fitting]) => {
                const choice = this.fields.find((one) => one.key === name)?.chosen ?? "";
                return fitting.includes(choice);
            });
        }

        /** Gives every empty field the reader's unit. */
        useUnits() {
            this.fields.forEach((field) => field.useUnits());
        }

        /**
         * Puts these values in place of all that is there.
         * @param {Given} given
         */
        replace(given) {
            for (const part of this.#parts) {
                if (!("fields" in part)) {
                    Form.#put(part, given[part.key]);
                    continue;
                }
                const value = given[part.name];
                const rows = Array.isArray(value) ? value : [];
                part.resize(rows.length || part.initial);
                for (const field of part.fields) {
                    Form.#put(field, rows[field.place - 1]?.[field.name]);
                }
            }
            this.refresh();
        }

        /**
         * Writes these over what stands in the fields of their names.
         * @param {Record<string, Handed>} handed
         * @returns {FormField[]}   those that were written
         */
        fill(handed) {
            const written = Form.#fillIn(this.fields.filter(({ place }) => place === 0), handed);
            this.refresh();
            return written;
        }

        /**
         * The same in one row, which is made if it is the next; the fields of that row that were written.
         * @param {string} rows
         * @param {Record<string, Handed>} handed
         * @param {number} place   from 1
         */
        fillRow(rows, handed, place) {
            const part = this.#rows.find(({ name }) => name === rows);
            if (part && place > part.places.length) {
                part.add();
            }
            const written = Form.#fillIn(part?.fields.filter((field) => field.place === place) ?? [], handed);
            this.refresh();
            return written;
        }

        /**
         * The rows of that name as they stand.
         * @param {string} rows
         */
        rowsNamed(rows) {
            return this.#rows.find(({ name }) => name === rows)?.places ?? [];
        }

        /**
         * @param {FormField[]} fields
         * @param {Record<string, Handed>} handed
         */
        static #fillIn(fields, handed) {
            return fields.filter((field) => {
                const one = handed[field.name];
                if (one) {
                    field.fill(one.give && field.takesGive ? `${one.text} ± ${one.give}` : one.text);
                }
                return one;
            });
        }

        /** Everything that stands in the form, empty rows too. */
        everything() {
            /** @type {Given} */
            const given = {};
            for (const part of this.#parts) {
                const value = "fields" in part ? part.everything() : part.written;
                if (value !== null) {
                    given["fields" in part ? part.name : part.key] = value;
                }
            }
            return given;
        }

        /** What is sent, and where each path of it stands in the form. */
        collect() {
            /** @type {Given} */
            const given = {};
            /** @type {Places} */
            const places = new Map();
            for (const part of this.#parts) {
                if ("fields" in part) {
                    Form.#collectRows(part, given, places);
                } else {
                    places.set(part.key, { field: part, rows: null, where: part.title });
                    if (part.written !== null) {
                        given[part.key] = part.written;
                    }
                }
            }
            return { given, places };
        }

        /**
         * @param {FormRows} part
         * @param {Given} given
         * @param {Places} places
         */
        static #collectRows(part, given, places) {
            const { rows, standing } = part.written();
            given[part.name] = rows;
            places.set(part.name, { field: null, rows: part, where: part.title });
            for (const field of part.fields) {
                const sent = standing.indexOf(field.place) + 1;
                if (sent > 0) {
                    const where = `${part.titleOf(field)}, ${field.title.toLowerCase()}`;
                    places.set(`${part.name}[${sent}].${field.name}`, { field, rows: part, where });
                }
            }
        }

        /**
         * @param {FormField} field
         * @param {string | GivenRow[] | undefined} value
         */
        static #put(field, value) {
            field.fill("");
            field.useUnits();
            field.fill(typeof value === "string" ? value : "");
        }
    }

    window.furrowbook.Form = Form;
})();
