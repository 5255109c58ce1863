/** What was found on a machine over time, by tank and lot. */
(() => {
    "use strict";

    const { record, job, units, results, elements } = window.furrowbook;
    const { made, tableOf, clock } = elements;

    class History {
        #root;

        /** @type {HTMLSelectElement} */
        #select;

        /** @param {HTMLElement} root */
        constructor(root) {
            this.#root = root;
            this.#select = /** @type {HTMLSelectElement} */ (root.querySelector("select"));
            this.#select.addEventListener("change", () => this.#show());
            record.addEventListener("change", () => this.#list());
            units.addEventListener("change", () => this.#show());
            this.#list();
        }

        async #list() {
            const names = [...new Set((await record.entries("kind", "begun")).map((one) => one.name))].sort();
            const chosen = this.#select.value || job.standing.begun?.name;
            this.#select.replaceChildren(...names.map((name) => new Option(name, name, false, name === chosen)));
            /** @type {HTMLElement} */ (this.#root.querySelector("p")).hidden = names.length === 0;
            await this.#show();
        }

        async #show() {
            const place = /** @type {HTMLElement} */ (this.#root.querySelector(".fb-history__series"));
            if (!this.#select.value) {
                return;
            }
            const { series } = await record.ask({ record: "history", entries: await record.texts(), machine: this.#select.value, units: units.text });
            place.replaceChildren(
                ...series.flatMap((/** @type {FoundSeries} */ one) => [
                    made("h3", one.title),
                    ...(one.svg ? [results.picture(one.svg)] : []),
                    tableOf(["When", one.title, "Lot"], one.points.map(({ when, shown, lot }) => [clock(when), shown, lot])),
                ]),
            );
        }
    }

    for (const root of document.querySelectorAll(".fb-history__machine")) {
        new History(/** @type {HTMLElement} */ (root));
    }
})();
