/** What a procedure is made of, as it is worked through: hazards and steps, and the values that steps ask for. */
(() => {
    "use strict";

    const { Field, units } = window.furrowbook;

    /** What stands in a step and is none of its words. */
    const ASIDE = ".fb-measure, .fb-opens, .fb-closes, .fb-next, .fb-was";

    /**
     * What a reader sees of an element, in one line. Nothing is laid out for it, which takes long on a long page.
     * @param {Element} element
     */
    function wordsOf(element) {
        const walker = document.createTreeWalker(element, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT, (node) =>
            node instanceof Element && (node.matches(ASIDE) || !node.checkVisibility())
                ? NodeFilter.FILTER_REJECT
                : NodeFilter.FILTER_ACCEPT);
        let text = "";
        while (walker.nextNode()) {
            text += walker.currentNode instanceof Text ? walker.currentNode.data : "";
        }
        return text.replace(/\s+/g, " ").trim().slice(0, 1900);
    }

    /** A value that a step asks for. */
    class Value {
        /** @param {HTMLElement} root */
        constructor(root) {
            this.root = root;
            const { what = "", low = "", high = "", within = "" } = root.dataset;
            this.what = what;
            this.limits = { low, high };
            this.within = within;
            this.fields = [.../** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll(".fb-field"))].map((one) => new Field(one));
            this.fields.forEach((one) => one.useUnits());
            units.addEventListener("change", () => this.fields.forEach((one) => one.useUnits()));
        }

        wipe() {
            this.fields.forEach((one) => one.fill(""));
            this.root.querySelector(".fb-action")?.remove();
        }
    }

    /** A hazard or a step, in its place. */
    class Item {
        /** @type {Value[]} */
        values;

        /**
         * @param {HTMLElement} root
         * @param {string} part   of the procedure, by its heading
         */
        constructor(root, part) {
            this.root = root;
            this.key = root.dataset.step ?? "";
            this.hazard = "hazard" in root.dataset;
            this.part = part;
            this.values = [.../** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll(".fb-ask"))].map((one) => new Value(one));
            this.calculators = [...root.querySelectorAll("[data-worked]")].map((one) => one.getAttribute("data-worked") ?? "");
            this.opens = this.#changes("opens");
            this.closes = this.#changes("closes");
        }

        /** What it says: of a hazard, its name. */
        get says() {
            return this.hazard ? (this.root.dataset.hazard ?? "") : wordsOf(this.root);
        }

        /** @param {string} name */
        #changes(name) {
            return [...this.root.querySelectorAll(`[data-${name}]`)].map((one) => one.getAttribute(`data-${name}`) ?? "");
        }
    }

    window.furrowbook.WorkItem = Item;
})();
