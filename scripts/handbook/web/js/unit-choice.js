/** The control in the bar with which a reader chooses units. */
(() => {
    "use strict";

    const { units } = window.furrowbook;

    /** Three buttons of one choice for all figures, and below them a list for each kind. */
    class UnitChoice {
        /** @type {HTMLDetailsElement} */
        #root;

        /** @type {HTMLInputElement[]} */
        #systems;

        /** @type {HTMLSelectElement[]} */
        #kinds;

        /** @param {HTMLDetailsElement} root */
        constructor(root) {
            this.#root = root;
            this.#systems = [...root.querySelectorAll("input")];
            this.#kinds = [...root.querySelectorAll("select")];
            this.#show();
            root.addEventListener("change", () => units.set(this.#chosen()));
            root.querySelector(".fb-unmix")?.addEventListener("click", () => units.set(units.system()));
            units.addEventListener("change", () => this.#show());
            this.#closing();
        }

        #chosen() {
            const system = this.#systems.find((one) => one.checked)?.value ?? "";
            const mixed = this.#kinds.filter((one) => one.value !== "");
            return [system, ...mixed.map((one) => `${one.dataset.kind}=${one.value}`)].join(",");
        }

        #show() {
            for (const one of this.#systems) {
                one.checked = one.value === units.system();
            }
            for (const one of this.#kinds) {
                const system = units.system(one.dataset.kind);
                one.value = system === units.system() ? "" : system;
            }
        }

        /** Escape and a press elsewhere close it. */
        #closing() {
            document.addEventListener("keydown", (event) => {
                if (event.key === "Escape" && this.#root.open) {
                    this.#root.open = false;
                    this.#root.querySelector("summary")?.focus();
                }
            });
            document.addEventListener("pointerdown", (event) => {
                if (this.#root.open && event.target instanceof Node && !this.#root.contains(event.target)) {
                    this.#root.open = false;
                }
            });
            this.#root.addEventListener("focusout", (event) => {
                if (event.relatedTarget instanceof Node && !this.#root.contains(event.relatedTarget)) {
                    this.#root.open = false;
                }
            });
        }
    }

    const root = document.querySelector("details.fb-units");
    if (root instanceof HTMLDetailsElement) {
        new UnitChoice(root);
    }
})();
