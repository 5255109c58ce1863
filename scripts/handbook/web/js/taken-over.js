/** What another calculator handed to a form: written into it, told, and marked until the reader changes it. */
(() => {
    "use strict";

    class TakenOver {
        /** @type {HTMLElement} */
        #place;

        #form;
        #filled;

        /**
         * @param {HTMLElement} section
         * @param {WholeForm} form
         * @param {() => void} filled   called when fields were filled in
         */
        constructor(section, form, filled) {
            this.#place = /** @type {HTMLElement} */ (section.querySelector(".fb-taken"));
            this.#form = form;
            this.#filled = filled;
        }

        /** @param {HandedOver} over */
        show(over) {
            this.hide();
            const written = this.#form.fill(over.fields);
            written.push(...over.each.flatMap((row) => this.#form.fillRow(over.rows, row, this.#rowFor(over.rows, row))));
            this.#write("from", over.from);
            this.#place.hidden = false;
            this.#mark(written, over.from);
            if (Object.keys(over.one).length > 0) {
                this.#offerRows(over);
            }
            this.#filled();
        }

        hide() {
            this.#place.hidden = true;
            this.#place.querySelector(".fb-which")?.setAttribute("hidden", "");
            this.#form.fields.forEach((field) => this.forget(field));
        }

        /**
         * The reader has changed a field: it is theirs now.
         * @param {FormField | null} field
         */
        forget(field) {
            field?.root.querySelector(".fb-taken-mark")?.remove();
        }

        /**
         * The row that has the handed one's name already, or has nothing in it yet; else a new one.
         * @param {string} rows
         * @param {Record<string, Handed>} handed
         */
        #rowFor(rows, handed) {
            const standing = this.#form.rowsNamed(rows);
            const same = standing.find(({ name }) => name !== "" && name === handed.name?.text);
            return (same ?? standing.find(({ empty }) => empty))?.place ?? standing.length + 1;
        }

        /**
         * One set of figures goes into one row: the only empty form has but one place for it, else it is asked.
         * @param {HandedOver} over
         */
        #offerRows(over) {
            const standing = this.#form.rowsNamed(over.rows);
            if (standing.every(({ empty }) => empty)) {
                this.#mark(this.#form.fillRow(over.rows, over.one, 1), over.from);
                return;
            }
            const which = /** @type {HTMLElement} */ (this.#place.querySelector(".fb-which"));
            const list = /** @type {HTMLElement} */ (which.querySelector("span"));
            const buttons = standing.filter(({ empty }) => !empty).map((row) => ({ place: row.place, words: row.title }));
            buttons.push({ place: this.#rowFor(over.rows, {}), words: which.dataset.new ?? "" });
            list.replaceChildren(...buttons.map(({ place, words }) => {
                const button = document.createElement("button");
                button.type = "button";
                button.textContent = words;
                button.addEventListener("click", () => {
                    this.#mark(this.#form.fillRow(over.rows, over.one, place), over.from);
                    which.hidden = true;
                    this.#filled();
                });
                return button;
            }));
            which.hidden = false;
        }

        /**
         * @param {FormField[]} fields
         * @param {string} from
         */
        #mark(fields, from) {
            for (const field of fields) {
                this.forget(field);
                const mark = document.createElement("p");
                mark.className = "fb-taken-mark";
                mark.textContent = (this.#place.dataset.mark ?? "").replace("{from}", from);
                field.root.append(mark);
            }
        }

        /**
         * @param {string} part
         * @param {string} text
         */
        #write(part, text) {
            for (const one of this.#place.querySelectorAll(`[data-part="${part}"]`)) {
                one.textContent = text;
            }
        }
    }

    window.furrowbook.TakenOver = TakenOver;
})();
