/**
 * Words of the glossary: what one means is shown beside it, while a pointer rests on it, while it has the focus,
 * and after a tap. The box stands behind the word in the page, so that the Tab key leads into it.
 */
(() => {
    "use strict";

    /** How long (ms) a pointer has to rest on a word, and how long it may be away on its way to the box. */
    const RESTS = 150;
    const AWAY = 300;

    /** What is kept free around the box (px). */
    const GAP = 6;

    const ID = "fb-means";
    const WORD = "a.fb-term";

    /**
     * @template {keyof HTMLElementTagNameMap} Tag
     * @param {Tag} tag
     * @param {string} name
     * @param {...HTMLElement} children
     */
    function element(tag, name, ...children) {
        const made = document.createElement(tag);
        made.className = name;
        made.append(...children);
        return made;
    }

    class Meaning {
        #name = element("strong", "fb-means__name");

        #text = element("span", "fb-means__text");

        #all = element("a", "fb-means__all");

        #box = element("span", "fb-means", this.#name, this.#text, this.#all);

        /** @type {HTMLAnchorElement | null} */
        #word = null;

        /** @type {ReturnType<typeof setTimeout> | undefined} */
        #timer;

        #by = "";

        constructor() {
            this.#text.id = ID;
            this.#all.textContent = "All words";
            document.addEventListener("pointerover", (event) => this.#over(event));
            document.documentElement.addEventListener("pointerleave", (event) => this.#over(event));
            document.addEventListener("pointerdown", (event) => {
                this.#by = event.pointerType;
            });
            document.addEventListener("pointerup", (event) => this.#elsewhere(event.target));
            document.addEventListener("click", (event) => this.#click(event));
            document.addEventListener("focusin", (event) => this.#focus(event.target));
            document.addEventListener("keydown", (event) => {
                if (event.key === "Escape") {
                    this.#dismiss();
                }
            });
            new ResizeObserver(() => this.#place()).observe(document.body);
        }

        /** @param {EventTarget | null} target */
        static #wordAt(target) {
            const found = target instanceof Element ? target.closest(WORD) : null;
            return found instanceof HTMLAnchorElement ? found : null;
        }

        /** @param {EventTarget | null} target */
        #holds(target) {
            return target instanceof Node && (this.#box.contains(target) || !!this.#word?.contains(target));
        }

        /** @param {PointerEvent} event */
        #over(event) {
            if (event.pointerType === "touch") {
                return;
            }
            clearTimeout(this.#timer);
            const word = Meaning.#wordAt(event.target);
            if (word && word !== this.#word) {
                this.#timer = setTimeout(() => this.#show(word), RESTS);
            } else if (this.#word && !this.#holds(event.target) && !this.#focused()) {
                this.#timer = setTimeout(() => this.#hide(), AWAY);
            }
        }

        /**
         * A press elsewhere closes it; a finger that moves the page presses nothing.
         * @param {EventTarget | null} target
         */
        #elsewhere(target) {
            if (!this.#holds(target)) {
                this.#hide();
            }
        }

        /**
         * A finger cannot rest on a word: its tap shows what another pointer sees before it presses.
         * @param {MouseEvent} event
         */
        #click(event) {
            const word = Meaning.#wordAt(event.target);
            const key = event.detail === 0;
            if (word && this.#by === "touch" && !key) {
                event.preventDefault();
                this.#show(word);
            }
        }

        /** @param {EventTarget | null} target */
        #focus(target) {
            const word = Meaning.#wordAt(target);
            if (word?.matches(":focus-visible")) {
                this.#show(word);
            } else if (!this.#holds(target)) {
                this.#hide();
            }
        }

        /** Whether the keyboard is at the word or in the box. */
        #focused() {
            const now = document.activeElement;
            return this.#holds(now) && !!now?.matches(":focus-visible");
        }

        /** The focus stays where it is, unless that goes with the box. */
        #dismiss() {
            if (this.#box.contains(document.activeElement)) {
                this.#word?.focus();
            }
            this.#hide();
        }

        /** @param {HTMLAnchorElement} word */
        #show(word) {
            clearTimeout(this.#timer);
            if (word === this.#word) {
                return;
            }
            this.#hide();
            this.#word = word;
            this.#name.textContent = word.dataset.name ?? "";
            this.#text.textContent = word.dataset.means ?? "";
            this.#all.href = word.href;
            word.after(this.#box);
            word.setAttribute("aria-describedby", ID);
            this.#place();
        }

        #hide() {
            clearTimeout(this.#timer);
            this.#word?.removeAttribute("aria-describedby");
            this.#word = null;
            this.#box.remove();
        }

        /** Below the word, or above it where there is only room there; never over the edge of the screen. */
        #place() {
            const lines = this.#word?.getClientRects() ?? [];
            const first = lines[0];
            const last = lines[lines.length - 1];
            if (!first || !last) {
                return;
            }
            const { style } = this.#box;
            style.left = "0";
            style.top = "0";
            const box = this.#box.getBoundingClientRect();
            const above = first.top - GAP - box.height;
            const bar = document.querySelector(".fb-bar")?.getBoundingClientRect().bottom ?? 0;
            const low = last.bottom + GAP + box.height > innerHeight && above > bar;
            const right = document.documentElement.clientWidth - GAP - box.width;
            style.left = `${Math.max(GAP, Math.min(last.left, right)) - box.left}px`;
            style.top = `${(low ? above : last.bottom + GAP) - box.top}px`;
        }
    }

    if (document.querySelector(WORD)) {
        new Meaning();
    }
})();
