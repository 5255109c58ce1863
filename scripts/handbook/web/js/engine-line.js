/** The line below a form that says when calculating is not possible yet, or not at all. */
(() => {
    "use strict";

    /** A start quicker than this (ms) is not worth a word. */
    const PATIENCE = 1000;

    class EngineLine {
        /** @type {HTMLElement} */
        #line;

        #words;

        /** @type {ReturnType<typeof setTimeout> | undefined} */
        #timer;

        /**
         * @param {HTMLElement} line
         * @param {Words} words
         */
        constructor(line, words) {
            this.#line = line;
            this.#words = words;
            const { engine } = window.furrowbook;
            if (!engine) {
                this.#say(words.no_engine);
                return;
            }
            engine.addEventListener("change", () => this.#follow(engine));
            engine.start();
            this.#follow(engine);
        }

        /** @param {PageEngine} engine */
        #follow(engine) {
            clearTimeout(this.#timer);
            if (engine.state === "loading") {
                this.#say("");
                this.#timer = setTimeout(() => this.#say(this.#words.getting_ready), PATIENCE);
            } else if (engine.state === "failed") {
                const again = document.createElement("button");
                again.type = "button";
                again.className = "fb-retry";
                again.textContent = this.#words.retry;
                again.addEventListener("click", () => engine.retry());
                this.#say(engine.problem?.sentence ?? this.#words.broke, again);
            } else {
                this.#say("");
            }
        }

        /**
         * @param {string} words
         * @param {Node[]} more
         */
        #say(words, ...more) {
            const paragraph = document.createElement("p");
            paragraph.textContent = words;
            this.#line.replaceChildren(...(words ? [paragraph, ...more] : []));
        }
    }

    window.furrowbook.EngineLine = EngineLine;
})();
