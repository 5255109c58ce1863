/** What is wrong with a form: beside each field, and after a press of the button in a list that takes focus. */
(() => {
    "use strict";

    class Troubles {
        /** @type {HTMLElement} */
        #summary;

        /** @type {HTMLElement} */
        #list;

        /** @type {Trouble[]} */
        #shown = [];

        /** @param {HTMLElement} form */
        constructor(form) {
            this.#summary = /** @type {HTMLElement} */ (form.querySelector(".fb-summary"));
            this.#list = /** @type {HTMLElement} */ (this.#summary.querySelector("ul"));
        }

        /**
         * Shows these and no others beside their fields; what the list names and is now right leaves the list.
         * @param {Trouble[]} troubles
         */
        show(troubles) {
            for (const old of this.#shown) {
                Troubles.#say(old, "");
            }
            this.#shown = troubles;
            for (const one of troubles) {
                Troubles.#say(one, one.problem);
            }
            for (const entry of [...this.#list.children]) {
                if (!troubles.some((one) => Troubles.#text(one) === entry.textContent)) {
                    entry.remove();
                }
            }
            this.#summary.hidden = this.#list.children.length === 0;
        }

        /**
         * Shows these in the list as well, and moves focus to it.
         * @param {Trouble[]} troubles
         */
        announce(troubles) {
            this.show(troubles);
            this.#list.replaceChildren(...troubles.map((one) => Troubles.#entry(one)));
            this.#summary.hidden = false;
            this.#summary.focus();
        }

        /** @param {Trouble} trouble */
        static #text(trouble) {
            return trouble.where ? `${trouble.where}: ${trouble.problem}` : trouble.problem;
        }

        /** @param {Trouble} trouble */
        static #entry(trouble) {
            const entry = document.createElement("li");
            const target = trouble.field?.control ?? trouble.rows?.fields[0]?.control;
            if (!target) {
                entry.textContent = Troubles.#text(trouble);
                return entry;
            }
            const link = document.createElement("a");
            link.href = `#${target.id}`;
            link.textContent = Troubles.#text(trouble);
            link.addEventListener("click", (event) => {
                event.preventDefault();
                target.closest("details")?.setAttribute("open", "");
                target.closest(".fb-field")?.scrollIntoView({ block: "center" });
                target.focus({ preventScroll: true });
            });
            entry.append(link);
            return entry;
        }

        /**
         * @param {Trouble} trouble
         * @param {string} problem
         */
        static #say(trouble, problem) {
            if (trouble.field) {
                trouble.field.say(problem);
            } else if (trouble.rows) {
                trouble.rows.error.textContent = problem;
                trouble.rows.error.hidden = problem === "";
            }
        }
    }

    window.furrowbook.Troubles = Troubles;
})();
