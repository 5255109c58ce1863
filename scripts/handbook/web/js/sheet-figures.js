/** A form that opens with the figures of the reader's machine, and of one of its tanks where it asks for those. */
(() => {
    "use strict";

    class SheetFigures {
        /** @type {HTMLElement | null} */
        #place;

        #fill;

        /**
         * @param {HTMLElement} section
         * @param {(given: Given) => void} fill   puts figures into the form in place of what is there
         */
        constructor(section, fill) {
            this.#place = section.querySelector(".fb-from-machine");
            this.#fill = fill;
        }

        /** Whether there is a place for a machine's figures: a page may have filled the form itself. */
        get possible() {
            return this.#place !== null;
        }

        /**
         * @param {string} name
         * @param {string} address   of the machine's first page
         * @param {MachineFigures} figures
         */
        show(name, address, figures) {
            const place = this.#place;
            const link = place?.querySelector("a");
            const list = place?.querySelector("select");
            if (!place || !link || !list) {
                return;
            }
            link.textContent = name;
            link.href = address;
            const tanks = Object.keys(figures.tanks);
            list.replaceChildren(...tanks.map((tank) => new Option(tank)));
            /** @type {HTMLElement} */ (list.parentElement).hidden = tanks.length === 0;
            const put = () => this.#fill({ ...figures.shared, ...figures.tanks[list.value] });
            list.addEventListener("change", put);
            place.hidden = false;
            put();
        }

        hide() {
            this.#place?.remove();
            this.#place = null;
        }
    }

    window.furrowbook.SheetFigures = SheetFigures;
})();
