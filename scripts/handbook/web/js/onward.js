/** Figures of one calculator's answer, handed to the form of the next: on this page, or in this tab on another. */
(() => {
    "use strict";

    const KEY = "furrowbook.handed";

    /**
     * The figure at the first of these places where the reply has one, as it is shown.
     * @param {Reply} reply
     * @param {string[]} places
     * @returns {Handed | null}
     */
    function at(reply, places) {
        for (const place of places) {
            const [part, name = ""] = place.split(".");
            const cell = part === "results" ? reply.results[name] : reply.used[name];
            const handed = shown(Array.isArray(cell) ? null : cell);
            if (handed) {
                return handed;
            }
        }
        return null;
    }

    /**
     * @param {Cell | undefined} cell
     * @returns {Handed | null}
     */
    function shown(cell) {
        if (cell === null || cell === undefined) {
            return null;
        }
        return typeof cell === "string" ? { text: cell } : { text: cell.shown, give: cell.give_or_take?.shown };
    }

    /**
     * @template Value
     * @param {Record<string, Value>} from
     * @param {(value: Value) => Handed | null} find
     */
    function those(from, find) {
        /** @type {Record<string, Handed>} */
        const found = {};
        for (const [name, value] of Object.entries(from)) {
            const handed = find(value);
            if (handed) {
                found[name] = handed;
            }
        }
        return found;
    }

    /**
     * What goes one way.
     * @param {Reply} reply
     * @param {Way} way
     * @param {string} from
     * @returns {HandedOver}
     */
    function gathered(reply, way, from) {
        const { rows } = way;
        /** @type {HandedOver} */
        const over = { from, fields: those(way.fields, (places) => at(reply, places)), rows: "", each: [], one: {} };
        if (rows) {
            const own = rows.each === null ? null : reply.used[rows.each];
            over.rows = rows.name;
            over.each = !Array.isArray(own) ? [] : own.map((row) => those(
                rows.columns,
                (names) => shown(row[names.find((name) => row[name]) ?? ""]),
            ));
            over.one = own ? {} : those(rows.columns, (places) => at(reply, places));
        }
        return over;
    }

    class Onward {
        /** @type {HTMLElement} */
        #section;

        /** @type {HTMLElement | null} */
        #list;

        /** @type {Way[]} */
        #ways;

        /** @type {Reply | null} */
        #reply = null;

        /** @param {HTMLElement} section */
        constructor(section) {
            this.#section = section;
            this.#list = section.querySelector(".fb-onward");
            this.#ways = JSON.parse(this.#list?.dataset.ways ?? "[]");
            this.#list?.addEventListener("click", (event) => {
                const link = event.target instanceof Element ? event.target.closest("a") : null;
                const way = this.#ways.find(({ id }) => id === link?.dataset.onward);
                if (way && this.#reply) {
                    this.#go(event, way, this.#reply);
                } else if (way) {
                    event.preventDefault(); // the figures are being worked out anew
                }
            });
        }

        /**
         * The answer that stands now; null where none does.
         * @param {Reply | null} reply
         */
        offer(reply) {
            this.#reply = reply;
            if (this.#list) {
                this.#list.hidden = !reply;
            }
        }

        /** What is written has changed: nothing is handed on before it is worked out. */
        wait() {
            this.#reply = null;
        }

        /**
         * What another page has handed to a calculator.
         * @param {string} id
         * @returns {HandedOver | null}
         */
        static take(id) {
            try {
                const text = sessionStorage.getItem(`${KEY} ${id}`);
                sessionStorage.removeItem(`${KEY} ${id}`);
                return text ? JSON.parse(text) : null;
            } catch {
                return null;
            }
        }

        /**
         * @param {Event} event
         * @param {Way} way
         * @param {Reply} reply
         */
        #go(event, way, reply) {
            const over = gathered(reply, way, this.#section.querySelector("form")?.getAttribute("aria-label") ?? "");
            const here = window.furrowbook.calculators.find(({ id }) => id === way.id);
            if (here) {
                event.preventDefault();
                here.takeOver(over);
                return;
            }
            try {
                sessionStorage.setItem(`${KEY} ${way.id}`, JSON.stringify(over));
            } catch {
                // A browser may refuse to keep anything: the next form then opens empty.
            }
        }
    }

    window.furrowbook.Onward = Onward;
})();
