/** The answer below a form. It never stands unmarked beside figures it was not worked out from. */
(() => {
    "use strict";

    /** An answer that comes within this time (ms) takes its place without a mark: it does not flicker. */
    const PROMPT = 150;

    /** What is said is spoken once nothing else has been said for this long (ms). */
    const SPOKEN = 300;

    /**
     * @param {HTMLElement} line
     * @param {string} words
     */
    function write(line, words) {
        if (line.textContent !== words) {
            line.textContent = words;
        }
    }

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

        /** @type {HTMLElement} */
        #spoken;

        /** @type {ReturnType<typeof setTimeout> | undefined} */
        #marking;

        /** @type {ReturnType<typeof setTimeout> | undefined} */
        #saying;

        /** @type {ReturnType<typeof setTimeout> | undefined} */
        #speaking;

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
            this.#spoken = part(".fb-spoken");
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
                clearTimeout(this.#saying);
                this.#saying = setTimeout(() => this.say(words), PROMPT);
            }
        }

        hide() {
            this.#panel.hidden = true;
            this.#section.classList.remove("fb-answered");
            this.#live.replaceChildren();
            this.#mark("");
            this.say("");
        }

        /**
         * What the answer is marked with, or nothing. A mark is seen once no answer has come promptly after the
         * first change, however fast more is written.
         * @param {string} words
         */
        #mark(words) {
            write(this.#stale, words);
            if (words) {
                this.#marking ??= setTimeout(() => this.#see(true), PROMPT);
            } else {
                clearTimeout(this.#marking);
                this.#marking = undefined;
                this.#see(false);
            }
        }

        /** @param {boolean} marked */
        #see(marked) {
            this.#panel.classList.toggle("fb-is-stale", marked);
            this.#stale.hidden = !marked;
        }

        /**
         * Says something in the line that is always in sight, and aloud once no more follows.
         * @param {string} words
         */
        say(words) {
            clearTimeout(this.#saying);
            clearTimeout(this.#speaking);
            write(this.#status, words);
            this.#speaking = setTimeout(() => write(this.#spoken, words), SPOKEN);
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
