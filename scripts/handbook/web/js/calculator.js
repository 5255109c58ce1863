/** A calculator in a page: asks Python for what is written in its form, and shows the answer or what is wrong. */
(() => {
    "use strict";

    const { Answer, EngineLine, Form, Kept, Onward, SheetFigures, TakenOver, Troubles, units } = window.furrowbook;

    /** Each key is answered at once; what is wrong is not said before typing has stopped for this long (ms). */
    const PAUSE = 200;

    class Calculator {
        /** @type {HTMLElement} */
        #section;

        /** @type {HTMLFormElement} */
        #root;

        /** @type {Words} */
        #words;

        /** @type {HTMLButtonElement} */
        #undo;

        #form;
        #kept;
        #onward;
        #takenOver;
        #sheet;
        #answer;
        #troubles;

        /** What was there before an example, a clearing or the removal of a row. */
        /** @type {Given | null} */
        #before = null;

        /** Counts the changes of what is written, so that a reply to something older is known as such. */
        #version = 0;
        #busy = false;
        #again = false;
        #pressed = false;

        /** @type {ReturnType<typeof setTimeout> | undefined} */
        #timer;
        /** When something was last typed, on the page's own clock. */
        #typedAt = -PAUSE;

        /** What the last reply found wrong, shown or not. */
        /** @type {Trouble[]} */
        #found = [];

        /** What may be complained of: fields that were left filled, and what a press of the button complained of. */
        /** @type {Set<FormField | FormRows | null>} */
        #open = new Set();

        /** Whether a finger or a mouse button is down, and whether something waits for it to go up. */
        #held = false;
        #due = false;

        /** @param {HTMLElement} section */
        constructor(section) {
            this.#section = section;
            this.#root = /** @type {HTMLFormElement} */ (section.querySelector("form"));
            this.#words = JSON.parse(section.dataset.words ?? "{}");
            this.#undo = /** @type {HTMLButtonElement} */ (this.#root.querySelector(".fb-undo"));
            this.#form = new Form(this.#root, this.#words);
            this.#answer = new Answer(section, JSON.parse(section.dataset.outputs ?? "[]"), this.#words);
            this.#troubles = new Troubles(this.#root);
            this.#kept = new Kept(section);
            this.#onward = new Onward(section);
            this.#takenOver = new TakenOver(section, this.#form, () => this.#filledIn());
            this.#sheet = new SheetFigures(section, (given) => this.#fillFromSheet(given));
            this.#bringBack();
            this.#listen();
            new EngineLine(/** @type {HTMLElement} */ (section.querySelector(".fb-engine")), this.#words);
            const over = Onward.take(this.id);
            if (over) {
                this.takeOver(over);
            } else if (this.#form.filled.length > 0) {
                this.#workAll();
            }
        }

        get id() {
            return this.#section.dataset.calculator ?? "";
        }

        /**
         * Puts figures of another calculator's answer among what is written.
         * @param {HandedOver} over
         */
        takeOver(over) {
            const before = this.#form.everything();
            this.#takenOver.show(over);
            this.#offerUndo(before);
            this.#section.scrollIntoView();
        }

        /** Whether the form stands as it came, so that a machine's figures may be put into it. */
        get open() {
            return this.#version === 0 && this.#form.filled.length === 0 && this.#sheet.possible;
        }

        /**
         * Opens the form with a machine's figures.
         * @param {string} name
         * @param {string} address
         * @param {MachineFigures} figures
         */
        openWith(name, address, figures) {
            this.#sheet.show(name, address, figures);
        }

        /**
         * Figures that come with the book and not from the reader.
         * @param {Given} given
         */
        #fillFromSheet(given) {
            this.#form.replace(given);
            this.#takenOver.hide();
            this.#empty();
            if (this.#version > 0) {
                this.#changed();
            }
            this.#workAll();
        }

        /** Something else than the reader's typing has filled fields in. */
        #filledIn() {
            this.#changed();
            this.#workAll();
        }

        /** Whether the reader has written something here that still stands. */
        get occupied() {
            return this.#version > 0 && this.#form.filled.length > 0;
        }

        #listen() {
            this.#root.addEventListener("input", (event) => this.#typed(event.target));
            this.#root.addEventListener("focusout", (event) => this.#left(event));
            this.#root.addEventListener("submit", (event) => {
                event.preventDefault();
                this.#pressed = true;
                this.#work();
            });
            this.#root.addEventListener("click", (event) => {
                const button = event.target instanceof Element ? event.target.closest("button") : null;
                if (button) {
                    this.#press(button);
                }
            });
            addEventListener("pointerdown", () => { this.#held = true; }, true);
            for (const end of ["pointerup", "pointercancel"]) {
                addEventListener(end, () => this.#released(), true);
            }
            units.addEventListener("change", () => this.#newUnits());
            addEventListener("pagehide", () => this.#keep());
            document.addEventListener("visibilitychange", () => this.#keep()); // a phone may end a page it has hidden
        }

        /** What a reader wrote; what the page itself filled in comes with the page. */
        #keep() {
            if (this.#version > 0) {
                this.#kept.put(this.#form.everything());
            }
        }

        /** Brings back what was written when the page was left. */
        #bringBack() {
            const written = this.#kept.take();
            if (written) {
                this.#form.replace(written);
                this.#leaveSheet();
                this.#version += 1;
            }
        }

        /** What is written is no longer a machine's. */
        #leaveSheet() {
            this.#root.querySelector(".fb-from-sheet")?.remove();
            this.#sheet.hide();
        }

        /** @param {HTMLButtonElement} button */
        #press(button) {
            const rows = this.#form.rowsOf(button);
            if (button.matches(".fb-try")) {
                this.#replace(JSON.parse(this.#section.dataset.example ?? "{}"));
            } else if (button.matches(".fb-clear")) {
                this.#replace({});
                this.#form.fields[0]?.control.focus();
            } else if (button.matches(".fb-undo") && this.#before) {
                this.#replace(this.#before);
                this.#offerUndo(null);
                this.#form.fields[0]?.control.focus();
            } else if (button.matches(".fb-give-asked")) {
                this.#form.askForGive();
                /** @type {HTMLInputElement | null} */ (this.#root.querySelector(".fb-give input"))?.focus();
            } else if (button.matches(".fb-add")) {
                rows?.add()?.focus();
            } else if (button.matches(".fb-remove")) {
                const before = this.#form.everything();
                rows?.remove(button)?.focus();
                this.#offerUndo(before);
                this.#changed();
                this.#work();
            }
        }

        /** @param {EventTarget | null} target */
        #typed(target) {
            const field = this.#form.fieldOf(target);
            if (field && field.control === target) {
                this.#open.delete(field); // nobody is corrected in the middle of a figure
                this.#showTroubles();
            }
            this.#form.refresh();
            this.#takenOver.forget(field);
            this.#offerUndo(null);
            this.#changed();
            if (this.#form.filled.length === 0) {
                this.#empty();
            } else {
                this.#typedAt = performance.now();
                this.#work();
            }
        }

        /** @param {FocusEvent} event */
        #left(event) {
            const field = this.#form.fieldOf(event.target);
            if (field && !field.empty) {
                this.#open.add(field);
                setTimeout(() => this.#showTroubles()); // a tap takes focus away before it clicks
            }
        }

        #newUnits() {
            this.#form.useUnits();
            if (this.#form.filled.length > 0) {
                this.#changed();
                this.#work();
            }
        }

        /** What is written is no longer what was asked. */
        #changed() {
            this.#version += 1;
            this.#pressed = false;
            this.#onward.wait();
            this.#tell(null);
            clearTimeout(this.#timer);
            this.#answer.mark(this.#words.working);
        }

        /**
         * Puts these values into the form in place of what is there, and works them out.
         * @param {Given} given
         */
        #replace(given) {
            const before = this.#form.everything();
            this.#form.replace(given);
            this.#takenOver.hide();
            this.#leaveSheet();
            this.#offerUndo(before);
            this.#changed();
            this.#empty();
            if (this.#form.filled.length > 0) {
                this.#workAll();
            }
        }

        /** Works out a form that was filled all at once. */
        #workAll() {
            this.#form.filled.forEach((field) => this.#open.add(field));
            this.#work();
        }

        /** Whoever keeps answers learns of this one, or that it no longer stands. */
        /** @param {StandingAnswer | null} detail */
        #tell(detail) {
            this.#section.dispatchEvent(new CustomEvent("furrowbook-answer", { detail }));
        }

        /** Nothing is written: there is neither an answer nor anything wrong. */
        #empty() {
            this.#found = [];
            this.#open.clear();
            this.#troubles.show([]);
            this.#answer.hide();
            this.#onward.offer(null);
            this.#tell(null);
        }

        /** @param {Given | null} before */
        #offerUndo(before) {
            const values = Object.values(before ?? {});
            const worth = values.some((one) => typeof one === "string" || one.some((row) => Object.keys(row).length > 0));
            this.#before = worth ? before : null;
            this.#undo.hidden = !worth;
        }

        /** Asks for what is written now. While one question is out, the next waits and takes what stands then. */
        async #work() {
            clearTimeout(this.#timer);
            const { engine } = window.furrowbook;
            if (!engine || this.#busy) {
                this.#again = this.#busy;
                return;
            }
            this.#busy = true;
            await engine.up(); // more may be written until then
            this.#again = false;
            if (this.#form.filled.length === 0 && !this.#pressed) {
                this.#busy = false;
                return;
            }
            const version = this.#version;
            const { given, places } = this.#form.collect();
            /** @type {Reply | Refused} */
            let reply;
            try {
                reply = JSON.parse(await engine.ask(JSON.stringify({ calculator: this.id, given, units: units.text })));
            } catch {
                reply = { ok: false, errors: [{ field: "", code: "", problem: this.#words.broke }] };
            }
            this.#busy = false;
            if (this.#again) {
                this.#again = false;
                this.#work();
            } else if (version === this.#version) {
                this.#take(reply, places);
            }
        }

        /**
         * @param {Reply | Refused} reply
         * @param {Places} places
         */
        #take(reply, places) {
            const pressed = this.#pressed;
            const rest = this.#typedAt + PAUSE - performance.now();
            if (!reply.ok && !pressed && rest > 0) {
                this.#timer = setTimeout(() => this.#take(reply, places), rest);
                return;
            }
            this.#pressed = false;
            if (reply.ok) {
                this.#found = [];
                this.#troubles.show([]);
                this.#answer.show(reply);
                this.#onward.offer(reply);
                this.#tell({ given: this.#form.collect().given, results: reply.results });
                if (pressed) {
                    this.#section.querySelector(".fb-live .fb-values")?.scrollIntoView({ block: "nearest" });
                }
                return;
            }
            this.#found = reply.errors.map(({ field, problem }) => {
                const place = places.get(field) ?? { field: null, rows: null, where: "" };
                return { ...place, problem };
            });
            this.#answer.mark(this.#words.no_match);
            this.#onward.offer(null);
            if (pressed) {
                this.#found.forEach((one) => this.#open.add(one.field ?? one.rows));
                this.#troubles.announce(this.#found);
                return;
            }
            this.#showTroubles();
            if (this.#found.every((one) => !one.field && !one.rows)) {
                this.#answer.say(this.#found.map((one) => one.problem).join(" "));
            }
        }

        #released() {
            this.#held = false;
            setTimeout(() => {
                if (this.#due) {
                    this.#showTroubles();
                }
            });
        }

        /**
         * While typing goes on, only what stands in fields that were left, or that was complained of. It waits
         * while a finger is down: what appears in between would move the button from under it.
         */
        #showTroubles() {
            this.#due = this.#held;
            if (this.#held) {
                return;
            }
            this.#troubles.show(this.#found.filter((one) => this.#open.has(one.field ?? one.rows)));
        }
    }

    window.furrowbook.calculators = [...document.querySelectorAll("[data-calculator]")].map(
        (section) => new Calculator(/** @type {HTMLElement} */ (section)),
    );
})();
