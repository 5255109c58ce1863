/** The answer below a form. It never stands unmarked beside figures it was not worked out from. */
(() => {
    "use strict";

    class Answer {
        /** @type {HTMLElement} */
        #section;

        /** @type {HTMLElement} */
        #panel;

        /** @type {HTMLElement} */
        #live;

        /** @type {HTMLElement} */
        #stale;

        /** @type {HTMLElement} */
        #status;

        /** @type {HTMLDetailsElement} */
        #example;

        #outputs;
        #words;

        /**
         * @param {HTMLElement} section
         * @param {Output[]} outputs
         * @param {Words} words
         */
        constructor(section, outputs, words) {
            /** @param {string} selector */
            const part = (selector) => /** @type {HTMLElement} */ (section.querySelector(selector));
            this.#section = section;
            this.#outputs = outputs;
            this.#words = words;
            this.#panel = part(".fb-answer");
            this.#live = part(".fb-live");
            this.#stale = part(".fb-stale");
            this.#status = part(".fb-status");
            this.#example = /** @type {HTMLDetailsElement} */ (part(".fb-example"));
        }

        /** Whether an answer is shown, marked or not. */
        get standing() {
            return !this.#panel.hidden;
        }

        /** @param {Reply} reply */
        show(reply) {
            if (!this.standing) {
                // The worked example makes way; the reader may open it again.
                this.#example.open = false;
            }
            this.#live.replaceChildren(window.furrowbook.results.render(reply, this.#outputs, this.#words));
            this.#panel.hidden = false;
            this.#section.classList.add("fb-answered");
            this.#mark("");
            this.say(`${this.#words.answer} ${this.#mains(reply)}`);
        }

        /**
         * Marks a standing answer as not, or not yet, that of what is written.
         * @param {string} words
         */
        mark(words) {
            if (this.standing) {
                this.#mark(words);
                this.say(words);
            }
        }

        hide() {
            this.#panel.hidden = true;
            this.#section.classList.remove("fb-answered");
            this.#live.replaceChildren();
            this.#mark("");
            this.say("");
        }

        /** @param {string} words */
        #mark(words) {
            this.#panel.classList.toggle("fb-is-stale", words !== "");
            this.#stale.hidden = words === "";
            this.#stale.textContent = words;
        }

        /**
         * Says something in the line that is spoken and always in sight.
         * @param {string} words
         */
        say(words) {
            if (this.#status.textContent !== words) {
                this.#status.textContent = words;
            }
        }

        /**
         * The main figures in one line.
         * @param {Reply} reply
         */
        #mains(reply) {
            return this.#outputs
                .filter((output) => output.main && reply.results[output.name] !== undefined)
                .map((output) => {
                    const cell = reply.results[output.name] ?? output.absent;
                    return `${output.title} ${typeof cell === "string" ? cell : cell.shown}`;
                })
                .join("; ");
        }
    }

    window.furrowbook.Answer = Answer;
})();
